//! What went wrong with a request, as a page that says what to do.

use std::time::Duration;

use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use maud::html;
use shop::{ShopError, Trouble};

use crate::page::Page;

/// Why a request was not answered as wished.
#[derive(Debug)]
pub(crate) enum Problem {
    /// There is no such thing.
    NotFound {
        /// What there is not: "an order V-0099".
        what: String,
    },
    /// The request was sent to a name that is not ours.
    ForeignHost,
    /// The request was sent from a page that is not ours.
    ForeignOrigin,
    /// The browser is not paired.
    NotPaired,
    /// The form is from before Backshop was started, or from nowhere.
    StaleToken,
    /// The form lacks something, or has something that no page of ours would send.
    BadForm {
        /// What.
        what: String,
    },
    /// What was sent cannot be kept.
    Refused {
        /// Why.
        what: String,
        /// What to do.
        help: String,
    },
    /// More bytes than are taken.
    TooLarge,
    /// Too many tries.
    TooMany {
        /// When the next is heard.
        after: Duration,
    },
    /// The shop could not do it.
    Shop(Box<ShopError>),
    /// A thread of ours broke off.
    Broken {
        /// Why.
        cause: String,
    },
}

impl From<ShopError> for Problem {
    fn from(error: ShopError) -> Self {
        Self::Shop(Box::new(error))
    }
}

impl Problem {
    fn status(&self) -> StatusCode {
        match self {
            Self::NotFound { .. } => StatusCode::NOT_FOUND,
            Self::ForeignHost => StatusCode::MISDIRECTED_REQUEST,
            Self::ForeignOrigin | Self::StaleToken => StatusCode::FORBIDDEN,
            Self::NotPaired => StatusCode::UNAUTHORIZED,
            Self::BadForm { .. } | Self::Refused { .. } => StatusCode::UNPROCESSABLE_ENTITY,
            Self::TooLarge => StatusCode::PAYLOAD_TOO_LARGE,
            Self::TooMany { .. } => StatusCode::TOO_MANY_REQUESTS,
            Self::Shop(error) => shop_status(error),
            Self::Broken { .. } => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    /// The heading, what went wrong, and what to do.
    fn told(&self) -> (&'static str, String, String) {
        match self {
            Self::NotFound { what } => {
                ("Not here", format!("There is no {what}."), "Go back, or search for it above.".to_owned())
            }
            Self::ForeignHost => (
                "Not this address",
                "This request named the machine by an address that could belong to somebody else.".to_owned(),
                "Use the address that the terminal shows, in numbers.".to_owned(),
            ),
            Self::ForeignOrigin => (
                "Not from here",
                "This form was not sent from a page of Backshop.".to_owned(),
                "Nothing was changed. Open the page itself and try again there.".to_owned(),
            ),
            Self::NotPaired => (
                "Not paired",
                "This browser has not been let in.".to_owned(),
                "Type the code that the terminal shows.".to_owned(),
            ),
            Self::StaleToken => (
                "From before",
                "This page is from before Backshop was started again.".to_owned(),
                "Nothing was changed. Go back, load the page anew, and send it again.".to_owned(),
            ),
            Self::BadForm { what } => (
                "Not understood",
                format!("The form could not be read: {what}."),
                "Nothing was changed. Go back, load the page anew, and try again.".to_owned(),
            ),
            Self::Refused { what, help } => ("Not kept", sentence(what), sentence(help)),
            Self::TooLarge => (
                "Too large",
                "More was sent than is taken here.".to_owned(),
                "A photo may have up to 20 MB, a document up to 4 MB.".to_owned(),
            ),
            Self::TooMany { after } => (
                "Too many tries",
                "The code was tried too often.".to_owned(),
                format!("The next try is heard in {} seconds.", after.as_secs() + 1),
            ),
            Self::Shop(error) => {
                ("It could not be done", sentence(&error.to_string()), sentence(error.help()))
            }
            Self::Broken { cause } => (
                "Something broke",
                format!("A part of Backshop broke off: {cause}."),
                "What was saved before is kept. Please tell us how you came here.".to_owned(),
            ),
        }
    }
}

fn shop_status(error: &ShopError) -> StatusCode {
    match error.trouble() {
        Trouble::Missing => StatusCode::NOT_FOUND,
        Trouble::Unfit => StatusCode::UNPROCESSABLE_ENTITY,
        Trouble::Held => StatusCode::CONFLICT,
        Trouble::Unavailable => StatusCode::SERVICE_UNAVAILABLE,
        Trouble::Broken => StatusCode::INTERNAL_SERVER_ERROR,
    }
}

/// A message of the inner rooms, which begin small and end without a full stop, as a sentence of a page.
pub(crate) fn sentence(message: &str) -> String {
    let mut letters = message.chars();
    let mut text: String = letters.next().map(|first| first.to_uppercase().collect()).unwrap_or_default();
    text.extend(letters);
    if !text.is_empty() && !text.ends_with(['.', '!', '?', '…']) {
        text.push('.');
    }
    text
}

impl IntoResponse for Problem {
    fn into_response(self) -> Response {
        let (heading, what, remedy) = self.told();
        let main = html! {
            div class="narrow" {
                h1 { (heading) }
                @for line in what.lines() { p class="told" { (line) } }
                p { (remedy) }
                p { a class="button" href="/" { "To the work board" } }
            }
        };
        let mut response = (self.status(), Page::plain(heading, main)).into_response();
        // The live page reads these two instead of the page.
        for (name, text) in [("x-problem", &what), ("x-remedy", &remedy)] {
            let line: String =
                text.chars().map(|c| if c.is_ascii_graphic() { c } else { ' ' }).take(400).collect();
            if let Ok(value) = HeaderValue::from_str(line.trim()) {
                response.headers_mut().insert(name, value);
            }
        }
        if let Self::TooMany { after } = self {
            response.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from(after.as_secs() + 1));
        }
        response
    }
}

#[cfg(test)]
mod tests {
    use super::sentence;

    #[test]
    fn sentences() {
        assert_eq!(sentence("cannot read x"), "Cannot read x.");
        assert_eq!(sentence("did you mean `y`?"), "Did you mean `y`?");
        assert_eq!(sentence(""), "");
    }
}

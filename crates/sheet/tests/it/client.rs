//! A browser without a screen: it sends requests to the router as browsers do, and remembers what pages told
//! it.

use axum::Router;
use axum::body::Body;
use axum::http::{HeaderMap, Method, Request, StatusCode};
use sheet::{Reach, Sheet, router};
use shop::Store;
use tower::ServiceExt;

/// The port that the router believes it is served at.
pub(crate) const PORT: u16 = 8470;
/// The address that browsers on this machine use.
pub(crate) const HERE: &str = "127.0.0.1:8470";

/// An answer, read whole.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) status: StatusCode,
    pub(crate) headers: HeaderMap,
    pub(crate) bytes: Vec<u8>,
}

impl Answer {
    pub(crate) fn text(&self) -> String {
        String::from_utf8(self.bytes.clone()).unwrap()
    }

    pub(crate) fn header(&self, name: &str) -> &str {
        self.headers.get(name).map_or("", |value| value.to_str().unwrap())
    }

    #[track_caller]
    pub(crate) fn is(self, status: u16) -> Self {
        assert_eq!(self.status.as_u16(), status, "{}", String::from_utf8_lossy(&self.bytes));
        self
    }
}

/// A browser and the shop that it looks at.
#[derive(Debug, Clone)]
pub(crate) struct Client {
    router: Router,
    pub(crate) store: Store,
    pub(crate) sheet: Sheet,
    host: String,
    cookie: Option<String>,
}

impl Client {
    /// A browser on this machine, before an empty shop.
    pub(crate) fn empty() -> Self {
        Self::of(Reach::ThisMachine, HERE)
    }

    /// A browser on this machine, before the demo's shop.
    pub(crate) fn demo() -> Self {
        let client = Self::empty();
        client.store.fill_demo("the demo").unwrap();
        client
    }

    /// A browser that names the sheet by a host.
    pub(crate) fn of(reach: Reach, host: &str) -> Self {
        let store = Store::in_memory().unwrap();
        let sheet = Sheet::new(store.clone(), reach, PORT).unwrap();
        Self { router: router(sheet.clone()), store, sheet, host: host.to_owned(), cookie: None }
    }

    /// The same with a cookie.
    pub(crate) fn with_cookie(&self, cookie: &str) -> Self {
        Self { cookie: Some(cookie.to_owned()), ..self.clone() }
    }

    pub(crate) fn request(&self, method: Method, path: &str) -> axum::http::request::Builder {
        let mut request = Request::builder().method(method.clone()).uri(path).header("host", &self.host);
        if method != Method::GET {
            request = request.header("origin", format!("http://{}", self.host));
        }
        match &self.cookie {
            Some(cookie) => request.header("cookie", cookie),
            None => request,
        }
    }

    pub(crate) async fn send(&self, request: Request<Body>) -> Answer {
        let response = self.router.clone().oneshot(request).await.unwrap();
        let (head, body) = response.into_parts();
        let bytes = axum::body::to_bytes(body, usize::MAX).await.unwrap().to_vec();
        Answer { status: head.status, headers: head.headers, bytes }
    }

    /// The response itself, for those that never end.
    pub(crate) async fn open(&self, path: &str) -> axum::response::Response {
        let request = self.request(Method::GET, path).body(Body::empty()).unwrap();
        self.router.clone().oneshot(request).await.unwrap()
    }

    pub(crate) async fn get(&self, path: &str) -> Answer {
        let request = self.request(Method::GET, path).header("accept", "text/html").body(Body::empty());
        self.send(request.unwrap()).await
    }

    /// The page of an address, which must be there.
    pub(crate) async fn page(&self, path: &str) -> String {
        self.get(path).await.is(200).text()
    }

    /// The token that the pages carry.
    pub(crate) async fn token(&self) -> String {
        let page = self.page("/rules").await;
        let (_, rest) = page.split_once("data-token=\"").unwrap();
        rest.split_once('"').unwrap().0.to_owned()
    }

    /// The revision that a document's page shows.
    pub(crate) async fn revision(&self, page: &str) -> String {
        let page = self.page(page).await;
        let (_, rest) = page.split_once("data-revision=\"").unwrap();
        rest.split_once('"').unwrap().0.to_owned()
    }

    /// A form sent as a browser without scripts does, with the token of the page.
    pub(crate) async fn post(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let token = self.token().await;
        let fields: Vec<(&str, &str)> =
            [("token", token.as_str())].into_iter().chain(fields.iter().copied()).collect();
        let request = self.form(path, &fields).body(Body::from(encoded(&fields))).unwrap();
        self.send(request).await
    }

    /// The same form sent by the page's own module.
    pub(crate) async fn post_live(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let token = self.token().await;
        let fields: Vec<(&str, &str)> =
            [("token", token.as_str())].into_iter().chain(fields.iter().copied()).collect();
        let request =
            self.form(path, &fields).header("x-sheet", "live").body(Body::from(encoded(&fields))).unwrap();
        self.send(request).await
    }

    fn form(&self, path: &str, _: &[(&str, &str)]) -> axum::http::request::Builder {
        self.request(Method::POST, path).header("content-type", "application/x-www-form-urlencoded")
    }

    /// A form with a file.
    pub(crate) async fn upload(
        &self,
        path: &str,
        fields: &[(&str, &str)],
        file: (&str, &str, &[u8]),
    ) -> Answer {
        const EDGE: &str = "edge-of-the-parts";
        let mut body = Vec::new();
        for (name, value) in fields {
            body.extend(
                format!("--{EDGE}\r\ncontent-disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n")
                    .bytes(),
            );
        }
        let (name, kind, bytes) = file;
        let head = "content-disposition: form-data; name=\"photo\"";
        body.extend(
            format!("--{EDGE}\r\n{head}; filename=\"{name}\"\r\ncontent-type: {kind}\r\n\r\n").bytes(),
        );
        body.extend(bytes);
        body.extend(format!("\r\n--{EDGE}--\r\n").bytes());
        let request = self
            .request(Method::POST, path)
            .header("content-type", format!("multipart/form-data; boundary={EDGE}"))
            .body(Body::from(body))
            .unwrap();
        self.send(request).await
    }
}

/// Fields as a form sends them (URL standard, application/x-www-form-urlencoded).
pub(crate) fn encoded(fields: &[(&str, &str)]) -> String {
    let escaped = |text: &str| {
        text.bytes()
            .map(|byte| match byte {
                b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'*' => {
                    char::from(byte).to_string()
                }
                b' ' => "+".to_owned(),
                other => format!("%{other:02X}"),
            })
            .collect::<String>()
    };
    let pairs: Vec<String> =
        fields.iter().map(|(name, value)| format!("{}={}", escaped(name), escaped(value))).collect();
    pairs.join("&")
}

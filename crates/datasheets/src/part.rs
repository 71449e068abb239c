//! What every part sheet begins with.

use documents::Name;
use quantities::Length;

documents::words! {
    /// The kinds of part that have sheets.
    pub enum PartKind: "a kind of part" {
        /// A decoder.
        Decoder = "decoder",
        /// A loudspeaker.
        Speaker = "speaker",
        /// A speaker box.
        Enclosure = "enclosure",
        /// A lamp or LED.
        Lamp = "lamp",
        /// A storage capacitor that bridges gaps in the supply.
        KeepAlive = "keep-alive",
        /// A decoder socket.
        Socket = "socket",
    }
}

documents::record! {
    /// The head of a part sheet.
    pub struct Part {
        /// The name that work orders use.
        pub name: Name,
        /// What kind of part it is.
        pub kind: PartKind,
        /// One line that says what it is.
        pub title: String,
        /// Whether the part exists only in our demo.
        pub invented: Option<bool>,
        /// Where the figures come from: document and section.
        pub source: Option<String>,
        /// Anything else worth knowing.
        pub note: Option<String>,
    }
}

documents::record! {
    /// Outer dimensions of a part.
    pub struct Size {
        /// Longest edge.
        pub length: Length,
        /// Second edge.
        pub width: Length,
        /// Height above the board or floor.
        pub height: Length,
    }
}

impl Size {
    /// Whether this part goes into a space, turned by a quarter about its height if need be.
    #[must_use]
    pub fn fits_in(&self, space: &Size) -> bool {
        let flat = (self.length <= space.length && self.width <= space.width)
            || (self.width <= space.length && self.length <= space.width);
        flat && self.height <= space.height
    }
}

impl std::fmt::Display for Size {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} × {} × {}", self.length, self.width, self.height)
    }
}

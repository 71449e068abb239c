//! Dossiers: what was learned about one model type, so that the next one of it starts from there.
//!
//! What it is: how such a model opens, what was found inside, what its prototype sounds like, and the lessons of the orders.
//! What it is not: an order. Readings of the meter belong to one specimen and must be taken again for the next.

use documents::{Checked, Checker, Keyed, Name};

use crate::order::{OrderHead, Scale, WorkOrder};
use crate::survey::Survey;
use crate::voice::Voice;

documents::record! {
    /// Which model type it is about.
    pub struct DossierHead {
        /// The dossier's name.
        pub name: Name,
        /// The model type, as orders name it.
        pub model: String,
        /// Its scale.
        pub scale: Scale,
        /// The prototype: railway, class, year.
        pub prototype: Option<String>,
        /// Whether it is our invention.
        pub invented: Option<bool>,
        /// Anything else worth knowing.
        pub note: Option<String>,
    }
}

documents::record! {
    /// How the shell comes off.
    pub struct Opening {
        /// What to do, in order.
        pub step: Vec<String>,
        /// What breaks easily.
        pub caution: Vec<String>,
    }
}

documents::record! {
    /// Something that was learned.
    pub struct Lesson {
        /// What.
        pub text: String,
        /// On which order.
        pub order: Option<Name>,
        /// When.
        pub day: Option<String>,
    }
}

documents::record! {
    /// What was learned about one model type.
    pub struct Dossier {
        /// Which model type it is about.
        pub dossier: DossierHead,
        /// How the shell comes off.
        pub opening: Option<Opening>,
        /// What is found inside as a rule.
        pub survey: Option<Survey>,
        /// What its prototype sounds like.
        pub voice: Option<Voice>,
        /// Lessons.
        pub lesson: Vec<Lesson>,
    }
}

impl Dossier {
    /// An order that has nothing but what the dossier says, which is how its facts are checked.
    pub(crate) fn as_order(&self) -> WorkOrder {
        let head = &self.dossier;
        WorkOrder {
            order: OrderHead {
                number: head.name.clone(),
                model: head.model.clone(),
                scale: head.scale,
                client: None,
                prototype: head.prototype.clone(),
                wanted: None,
                received: None,
                invented: head.invented,
                note: None,
            },
            survey: self.survey.clone(),
            plan: None,
            contact: None,
            address: None,
            manners: None,
            voice: self.voice.clone(),
            levels: None,
            keys: Keyed::default(),
            r#override: Vec::new(),
            progress: None,
        }
    }
}

impl Checked for Dossier {
    fn check(&self, checker: &mut Checker) {
        self.as_order().check(checker);
    }
}

//! How far the work is: what people state about it that no fact can tell.
//!
//! What it is: stages ticked off by hand (a cold check with the meter leaves no other trace), and what the order waits for
//! where somebody knows better than the findings.
//! What it is not: the board. What an order waits for is computed where nothing is stated here.
//!
//! Source: the stages follow the reference text on practice, section 1.

documents::words! {
    /// The stages of the work, in their order.
    pub enum WorkStage: "a stage of the work" {
        /// Taken in: whose it is, what is wanted.
        Intake = "intake",
        /// Opened, looked at and measured.
        Survey = "survey",
        /// Parts chosen, wires planned.
        Plan = "plan",
        /// Rewired and metered without power.
        ColdChecks = "cold checks",
        /// On the programming track for the first time.
        FirstContact = "first contact",
        /// Sounds, levels, lamps, keys and momentum written and proven.
        VoiceAndManners = "voice and manners",
        /// Set up to run with others.
        Train = "train",
        /// Run both ways, every key tried.
        Trial = "trial",
        /// Given back.
        Handover = "handover",
    }
}

documents::words! {
    /// What an order may wait for.
    pub enum WaitsFor: "a thing to wait for" {
        /// Parts that are not here.
        Parts = "parts",
        /// A fact that somebody must measure or look up.
        Measurement = "a measurement",
        /// The programming track.
        Track = "the track",
        /// The client: an answer, a payment, a visit.
        Client = "the client",
        /// Nothing: the next step can be taken now.
        Nothing = "nothing",
    }
}

documents::record! {
    /// How far the work is.
    pub struct Progress {
        /// What the order waits for, where somebody knows better than the findings.
        pub waits_for: Option<WaitsFor>,
        /// Why it waits.
        pub waits_because: Option<String>,
        /// Stages that somebody ticked off.
        pub done: Vec<WorkStage>,
    }
}

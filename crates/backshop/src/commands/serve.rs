//! Opening the shop in the browser: what the program does without a command, and what `demo` ends with.

use std::path::PathBuf;

use clap::Args;
use sheet::{Config, Opened, Reach};
use shop::{ShopError, Store};

use crate::commands::{Outcome, Output};

/// The port where nobody names another; unassigned at IANA (from memory), and left alone by the usual servers.
const USUAL_PORT: u16 = 8470;

#[derive(Debug, Clone, Args)]
pub(crate) struct Arguments {
    /// The shop's file; the one in your data folder when left out
    // Another name inside, because `shop` has an argument of this name that its own commands share.
    #[arg(id = "served-shop", long = "shop", value_name = "FILE")]
    shop: Option<PathBuf>,
    #[command(flatten)]
    door: Door,
}

/// Who reaches the page, and where.
#[derive(Debug, Clone, Copy, Args)]
pub(crate) struct Door {
    /// Let browsers on the network in, with the code that is shown here
    #[arg(long)]
    lan: bool,
    /// The port to listen at, 8470 when left out; 0 takes any free one
    #[arg(long)]
    port: Option<u16>,
}

impl Arguments {
    /// Whether any of them was given.
    pub(crate) fn is_given(&self) -> bool {
        self.shop.is_some() || self.door.lan || self.door.port.is_some()
    }
}

pub(crate) fn run(arguments: &Arguments, out: &mut Output) -> Result<Outcome, ShopError> {
    let file = match &arguments.shop {
        Some(file) => file.clone(),
        None => shop::usual_path()?,
    };
    let store = Store::open(&file)?;
    out.data(&format!("The shop is {}", file.display()));
    Ok(serve(store, arguments.door, out))
}

/// Serves a shop until the program is interrupted.
pub(crate) fn serve(store: Store, door: Door, out: &mut Output) -> Outcome {
    let reach = if door.lan { Reach::Network } else { Reach::ThisMachine };
    let served =
        sheet::serve_here(Config { store, port: door.port.unwrap_or(USUAL_PORT), reach }, |opened| {
            tell(opened, out)
        });
    match served {
        Ok(()) => {
            out.talk("closed; nothing that was saved is lost");
            Outcome::Well
        }
        Err(error) => {
            out.talk(&format!("{error}\n  {}", error.help()));
            Outcome::CouldNot
        }
    }
}

fn tell(opened: &Opened, out: &mut Output) {
    for address in &opened.addresses {
        out.data(&format!("Open {address} in a browser"));
    }
    if let Some(code) = &opened.pairing_code {
        out.data(&format!("The code that lets a browser in: {code}"));
    }
    out.data("Ctrl-C ends it.");
}

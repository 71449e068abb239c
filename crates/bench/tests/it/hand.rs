//! A programmer's hand: packets onto the rails, a plain eye on the current.
//!
//! What it is: the sequences of `dcc::service` driven onto [`Rails`], and the rule of S-9.2.3 §D read off the samples.
//! What it is not: the programmer of the track room, whose detector has to cope with worse.

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use bench::{Locomotive, Truth, read_truth};
use datasheets::{Shelf, read_sheet};
use dcc::service::{Operation, Options, PowerOn, Purpose, Sequence, Step};
use dcc::timing::SenderTiming;
use dcc::{
    Address, BitPosition, Command, CvAccess, CvNumber, Direction, Function, FunctionStates, Instruction,
    PREAMBLE_OPERATIONS, PREAMBLE_SERVICE, Packet, ShortAddress, Speed126,
};
use track::{Rails, SAMPLE_MICROSECONDS};

pub(crate) fn repository() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// A decoder sheet that differs from the others where the tests need it.
fn odd_sheet(name: &str, decoder: &str, rest: &str) -> (String, String) {
    let text = format!(
        "[part]\nname = \"{name}\"\nkind = \"decoder\"\ntitle = \"for tests\"\n[decoder]\nsockets = [\"wires\"]\nmotor-current = \"1 A\"\n\
         manufacturer = 13\nversion = 5\nidle-current = \"20 mA\"\n{decoder}\n{rest}"
    );
    (name.to_owned(), text)
}

fn odd_sheets() -> [(String, String); 4] {
    let matrix = "[key-map]\nmethod = \"matrix\"\nhighest-key = 12\n";
    let all = "cvs = [\"1-8\", \"13-24\", \"28-29\", \"33-46\"]\n";
    [
        odd_sheet(
            "registers",
            &format!("modes = [\"register\"]\nreading = \"NMRA\"\nlock = false\n{all}"),
            matrix,
        ),
        odd_sheet(
            "address",
            &format!("modes = [\"address-only\"]\nreading = \"NMRA\"\nlock = false\n{all}"),
            matrix,
        ),
        odd_sheet(
            "rcn-lock",
            &format!("modes = [\"direct\"]\nreading = \"RCN\"\nlock = true\n{all}"),
            matrix,
        ),
        odd_sheet(
            "deeds",
            "modes = [\"direct\"]\nreading = \"NMRA\"\nlock = false\ncvs = [\"1-8\", \"29\", \"60\"]",
            "[amplifier]\npower = \"1 W\"\nload = \"8 ohm\"\nleast-load = \"8 ohm\"\n[key-map]\nmethod = \"deed table\"\nhighest-key = 28\n\
             deed = [{ does = \"horn\", cv = 150, default = 2 }, { does = \"beacon\", cv = 151, default = 28 }]\n\
             [[output]]\nnumber = 3\nname = \"AUX1\"\nkind = \"amplified\"\ndoes = \"beacon\"\n\
             [[role]]\nname = \"output.3.effect\"\ncv = 155\nmost = 3\nbefore = [{ cv = 60, value = 7 }]\n",
        ),
    ]
}

/// The standard shelf, the demo's parts and the odd decoders of these tests.
pub(crate) fn shelf() -> &'static Shelf {
    static SHELF: LazyLock<Shelf> = LazyLock::new(read_shelf);
    &SHELF
}

fn read_shelf() -> Shelf {
    let mut shelf = Shelf::standard();
    for (name, text) in odd_sheets() {
        shelf.add(read_sheet(&name, &text).unwrap_or_else(|faults| panic!("{faults}")).value);
    }
    for (name, text) in toml_files("demo/parts") {
        shelf.add(read_sheet(&name, &text).unwrap_or_else(|faults| panic!("{faults}")).value);
    }
    shelf
}

/// Name and text of the TOML files of a folder, by name.
#[expect(clippy::disallowed_methods, reason = "tests read the demo's files")]
pub(crate) fn toml_files(folder: &str) -> Vec<(String, String)> {
    let entries = std::fs::read_dir(repository().join(folder)).unwrap();
    let mut files: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    files.sort();
    files.retain(|file| file.extension().is_some_and(|extension| extension == "toml"));
    let text = |file: PathBuf| {
        let name = file.file_stem().unwrap().to_str().unwrap().to_owned();
        (name, std::fs::read_to_string(file).unwrap())
    };
    files.into_iter().map(text).collect()
}

/// A truth from its text.
pub(crate) fn truth(text: &str) -> Truth {
    read_truth("truth.toml", text, shelf()).unwrap_or_else(|faults| panic!("{faults}")).value
}

/// A locomotive of a decoder with a motor, and more if wanted.
pub(crate) fn locomotive(decoder: &str, more: &str) -> Locomotive {
    let text = format!(
        "truth.title = \"test\"\ndecoder.part = \"{decoder}\"\nmotor.resistance = \"24 ohm\"\n{more}"
    );
    Locomotive::new(&truth(&text), shelf(), 1).unwrap()
}

/// What a hand at the programmer holds: the rails.
pub(crate) struct Hand<R> {
    pub(crate) rails: R,
    pub(crate) samples: Vec<f32>,
}

impl<R: Rails> Hand<R> {
    /// Power on and 25 resets.
    pub(crate) fn on(rails: R) -> Self {
        let mut hand = Self { rails, samples: Vec::new() };
        hand.rails.set_power(true);
        hand.send_service(&Packet::RESET, 25);
        hand
    }

    /// Power off for a second and on again, with 25 resets.
    pub(crate) fn power_cycle(&mut self) {
        self.rails.set_power(false);
        self.rails.wait(1_000_000);
        self.rails.set_power(true);
        self.send_service(&Packet::RESET, 25);
    }

    pub(crate) fn send_service(&mut self, packet: &Packet, count: usize) {
        for _ in 0..count {
            self.send_with(packet, PREAMBLE_SERVICE);
        }
    }

    fn send_with(&mut self, packet: &Packet, preamble: u8) {
        let half_bits: Vec<u32> = packet.half_bits(preamble, SenderTiming::NOMINAL).collect();
        self.rails.drive(&half_bits, &mut self.samples);
    }

    /// Carries out an operation of service mode, all of its packets; whether it was acknowledged.
    pub(crate) fn serve(&mut self, operation: Operation) -> bool {
        self.serve_with(operation, Options::default())
    }

    pub(crate) fn serve_with(&mut self, operation: Operation, options: Options) -> bool {
        let sequence = Sequence::new(operation, options).unwrap();
        for step in sequence.steps() {
            match step {
                Step::Packets { packet, count, purpose } => {
                    // What answers the page register before is not the answer that is asked for.
                    if *purpose == Purpose::Enter {
                        self.samples.clear();
                    }
                    self.send_service(packet, usize::from(*count));
                }
                Step::PowerCycle => {
                    self.rails.set_power(false);
                    self.rails.wait(1_000_000);
                    self.rails.set_power(true);
                }
            }
        }
        acknowledged(&self.samples)
    }

    /// Leads out of service mode: the first packet of another kind only ends it (reference text 5.8).
    pub(crate) fn leave(&mut self) {
        self.idle(20);
    }

    pub(crate) fn write(&mut self, cv: u16, value: u8) -> bool {
        self.serve(Operation::Direct(CvAccess::write(number(cv), value)))
    }

    pub(crate) fn verify(&mut self, cv: u16, value: u8) -> bool {
        self.serve(Operation::Direct(CvAccess::verify(number(cv), value)))
    }

    pub(crate) fn verify_bit(&mut self, cv: u16, bit: u8, value: bool) -> bool {
        self.serve(Operation::Direct(CvAccess::verify_bit(number(cv), BitPosition::new(bit).unwrap(), value)))
    }

    /// Reads a CV bit by bit.
    pub(crate) fn read(&mut self, cv: u16) -> Option<u8> {
        let value =
            (0..8).filter(|bit| self.verify_bit(cv, *bit, true)).fold(0, |value, bit| value | 1 << bit);
        self.verify(cv, value).then_some(value)
    }

    /// Sends packets on the main, an idle after each so that the gap to the same decoder is kept.
    pub(crate) fn tell(&mut self, address: Address, command: Command) {
        let packet = Instruction::for_decoder(address, command).to_packet();
        self.send_with(&packet, PREAMBLE_OPERATIONS);
        self.send_with(&Packet::IDLE, PREAMBLE_OPERATIONS);
    }

    pub(crate) fn throttle(&mut self, address: Address, direction: Direction, step: u8) {
        let speed = if step == 0 { Speed126::Stop } else { Speed126::step(step).unwrap() };
        self.tell(address, Command::Speed126 { direction, speed });
    }

    /// Switches the functions that are listed on and all others off.
    pub(crate) fn keys(&mut self, address: Address, on: &[u8]) {
        let mut states = FunctionStates::ALL_OFF;
        for number in on {
            states.set(Function::new(*number).unwrap(), true);
        }
        for group in dcc::FunctionGroup::ALL {
            self.tell(address, Command::Functions(states.group(group)));
        }
    }

    /// Writes a CV on the main: two packets.
    pub(crate) fn write_on_the_main(&mut self, address: Address, cv: u16, value: u8) {
        for _ in 0..2 {
            self.tell(address, Command::Cv(CvAccess::write(number(cv), value)));
        }
    }

    /// Lets time pass with idle packets.
    pub(crate) fn idle(&mut self, milliseconds: u64) {
        // An idle packet with 16 ones lasts 6.028 ms (reference text 2.1).
        for _ in 0..milliseconds * 1000 / 6028 {
            self.send_with(&Packet::IDLE, PREAMBLE_OPERATIONS);
        }
    }
}

pub(crate) fn number(cv: u16) -> CvNumber {
    CvNumber::new(cv).unwrap()
}

pub(crate) fn short(number: u8) -> Address {
    Address::Short(ShortAddress::new(number).unwrap())
}

/// Options with a power cycle after the page preset.
pub(crate) fn power_cycled() -> Options {
    Options { power_on: Some(PowerOn::NMRA), is_power_cycled: true, ..Options::default() }
}

/// Whether there is a rise of 60 mA over the quiescent current that lasts 5 to 7 ms (S-9.2.3 §D). The quiescent current is
/// that of the first 10 ms, which are resets.
pub(crate) fn acknowledged(samples: &[f32]) -> bool {
    let first = &samples[..100.min(samples.len())];
    if first.is_empty() {
        return false;
    }
    let quiescent = first.iter().sum::<f32>() / 100.0;
    let lengths = samples.chunk_by(|left, right| (*left >= quiescent + 60.0) == (*right >= quiescent + 60.0));
    let pulses: Vec<usize> = lengths.filter(|span| span[0] >= quiescent + 60.0).map(<[f32]>::len).collect();
    let milliseconds = |n_samples: usize| n_samples * SAMPLE_MICROSECONDS as usize / 1000;
    pulses.iter().any(|n_samples| (5..=7).contains(&milliseconds(*n_samples)))
}

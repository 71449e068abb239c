//! What a packet says in service mode.
//!
//! What it is: the five formats of S-9.2.3 in both directions, and the paging arithmetic.
//! What it is not: the order in which packets are sent ([`super::Sequence`]).
//!
//! Source: NMRA S-9.2.3 §E, App. A and App. B.

use core::fmt;

use crate::address::ShortAddress;
use crate::cv::CvNumber;
use crate::instruction::CvAccess;
use crate::packet::{Builder, Packet, PacketError, PacketView};

/// The meaning of a service-mode packet.
///
/// Three octets and four octets with the same first octet are different instructions: `7C`…`7F` with two octets after
/// it is a direct write, with one it is a register write (S-9.2.3 §E).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ServiceInstruction {
    /// Direct mode, `0111CCAA AAAAAAAA DDDDDDDD`.
    Direct(CvAccess),
    /// Register, paged and address-only mode, `0111CRRR DDDDDDDD`. Which CV is meant hangs on the page register of
    /// the decoder ([`super::PageRegister`]).
    Register {
        /// Which register.
        register: Register,
        /// What is done with it.
        operation: RegisterOperation,
    },
    /// `AAAAAAAA 11111001`, the old address query: acknowledged if the address is the decoder's (App. A). 1 to 111.
    AddressQuery(ShortAddress),
    /// `00000000 11111001 0AAAAAAA`: all decoders but this one ignore service mode until they see a packet of
    /// another kind (App. B).
    Lock(ShortAddress),
}

/// What is done with a register.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RegisterOperation {
    /// C = 0: compare.
    Verify(u8),
    /// C = 1: store.
    Write(u8),
}

/// A register, 1 to 8; RRR is one less.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Register(u8);

impl Register {
    /// Register 1: the address, CV1, with page 1.
    pub const ADDRESS: Self = Self(1);
    /// Register 5: CV29, whatever the page.
    pub const CONFIGURATION: Self = Self(5);
    /// Register 6: the page register.
    pub const PAGE: Self = Self(6);
    /// Register 7: CV7, whatever the page.
    pub const VERSION: Self = Self(7);
    /// Register 8: CV8, whatever the page.
    pub const MANUFACTURER: Self = Self(8);

    /// # Errors
    /// [`ServiceError::Register`] outside 1..=8.
    pub const fn new(number: u8) -> Result<Self, ServiceError> {
        if number >= 1 && number <= 8 { Ok(Self(number)) } else { Err(ServiceError::Register { number }) }
    }

    /// The number, 1 to 8.
    pub const fn get(self) -> u8 {
        self.0
    }

    /// The register that holds this CV in register mode, where the page is 1, if there is one.
    pub const fn of_cv(cv: CvNumber) -> Option<Self> {
        match cv.get() {
            1 => Some(Self(1)),
            2 => Some(Self(2)),
            3 => Some(Self(3)),
            4 => Some(Self(4)),
            7 => Some(Self::VERSION),
            8 => Some(Self::MANUFACTURER),
            29 => Some(Self::CONFIGURATION),
            _ => None,
        }
    }
}

/// Where paged mode finds a CV: page 1 to 256 and data register 1 to 4 (RRR 000 to 011).
///
/// ```
/// use dcc::{CvNumber, service::PagedAddress};
/// let place = PagedAddress::of(CvNumber::new(65)?);
/// assert_eq!((place.page(), place.data_register().get()), (17, 1));
/// # Ok::<(), dcc::CvError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PagedAddress {
    page: u16,
    data_register: Register,
}

impl PagedAddress {
    /// P = (CV − 1) div 4 + 1, RRR = (CV − 1) mod 4.
    pub const fn of(cv: CvNumber) -> Self {
        let field = cv.wire();
        Self { page: field / 4 + 1, data_register: Register((field % 4) as u8 + 1) }
    }

    /// The page, 1 to 256.
    pub const fn page(self) -> u16 {
        self.page
    }

    /// The value of the page register: the page, and 0 for page 256.
    ///
    /// That 256 is sent as 0 follows from the eight bits of the register; S-9.2.3 does not say it.
    pub const fn page_value(self) -> u8 {
        (self.page & 0xFF) as u8
    }

    /// The data register, 1 to 4.
    pub const fn data_register(self) -> Register {
        self.data_register
    }
}

impl ServiceInstruction {
    /// Sets the page register.
    pub const fn write_page(value: u8) -> Self {
        Self::Register { register: Register::PAGE, operation: RegisterOperation::Write(value) }
    }

    /// Compares the address in address-only mode, `70 0DDDDDDD`.
    ///
    /// # Errors
    /// [`ServiceError::AddressOnlyValue`] above 127.
    pub const fn verify_address(value: u8) -> Result<Self, ServiceError> {
        if value > 127 {
            return Err(ServiceError::AddressOnlyValue { value });
        }
        Ok(Self::Register { register: Register::ADDRESS, operation: RegisterOperation::Verify(value) })
    }

    /// Stores the address in address-only mode, `78 0DDDDDDD`.
    ///
    /// # Errors
    /// [`ServiceError::AddressOnlyValue`] above 127.
    pub const fn write_address(value: u8) -> Result<Self, ServiceError> {
        if value > 127 {
            return Err(ServiceError::AddressOnlyValue { value });
        }
        Ok(Self::Register { register: Register::ADDRESS, operation: RegisterOperation::Write(value) })
    }

    /// Asks whether a decoder has this address, by the old query of App. A.
    ///
    /// # Errors
    /// [`ServiceError::QueryAddress`] above 111.
    pub const fn query(address: ShortAddress) -> Result<Self, ServiceError> {
        if address.get() > QUERY_LAST {
            return Err(ServiceError::QueryAddress { number: address.get() });
        }
        Ok(Self::AddressQuery(address))
    }

    /// Whether something would be stored.
    pub const fn is_write(self) -> bool {
        match self {
            Self::Direct(access) => access.is_write(),
            Self::Register { operation, .. } => matches!(operation, RegisterOperation::Write(_)),
            Self::AddressQuery(_) | Self::Lock(_) => false,
        }
    }

    /// The packet that says this.
    pub fn to_packet(&self) -> Packet {
        let mut builder = Builder::new();
        match *self {
            Self::Direct(access) => builder.extend(&access.octets(0b0111)),
            Self::Register { register, operation } => {
                let (code, value) = match operation {
                    RegisterOperation::Verify(value) => (0, value),
                    RegisterOperation::Write(value) => (1, value),
                };
                builder.extend(&[0x70 | code << 3 | (register.0 - 1), value]);
            }
            Self::AddressQuery(address) => builder.extend(&[address.get(), QUERY]),
            Self::Lock(address) => builder.extend(&[0, QUERY, address.get()]),
        }
        builder.finish()
    }

    /// Writes the packet to the start of a buffer and tells how many octets it has.
    ///
    /// # Errors
    /// [`PacketError::BufferTooSmall`]; the buffer is untouched then.
    pub fn emit(&self, buffer: &mut [u8]) -> Result<usize, PacketError> {
        self.to_packet().emit(buffer)
    }

    /// Reads a packet as a decoder in service mode does.
    ///
    /// # Errors
    /// [`ServiceError::NotServiceMode`] for anything that is not a service-mode packet, resets included, and
    /// [`ServiceError::Octet`] for one whose inner bits are wrong.
    pub fn parse(packet: &PacketView<'_>) -> Result<Self, ServiceError> {
        match *packet.payload() {
            [first @ 0x70..=0x7F, low, data] => {
                let expected = if first & 0b1100 == 0 { "CC 01, 10 or 11" } else { "111KDBBB in octet 3" };
                let access = CvAccess::from_octets([first, low, data]);
                access.map(Self::Direct).ok_or(ServiceError::Octet { octet: 1, found: first, expected })
            }
            [first @ 0x70..=0x7F, value] => {
                let is_write = first & 0b1000 != 0;
                let operation =
                    if is_write { RegisterOperation::Write(value) } else { RegisterOperation::Verify(value) };
                Ok(Self::Register { register: Register((first & 0b111) + 1), operation })
            }
            [first @ 1..=QUERY_LAST, QUERY] => match ShortAddress::new(first) {
                Ok(address) => Ok(Self::AddressQuery(address)),
                Err(_) => Err(ServiceError::NotServiceMode { first }),
            },
            [0, QUERY, keep] => match ShortAddress::new(keep) {
                Ok(address) => Ok(Self::Lock(address)),
                Err(_) => Err(ServiceError::Octet { octet: 3, found: keep, expected: "0AAAAAAA, 1 to 127" }),
            },
            _ => Err(ServiceError::NotServiceMode { first: packet.first() }),
        }
    }
}

/// Second octet of the address query and the lock.
const QUERY: u8 = 0b1111_1001;
/// Highest address of the query; from 112 on the first octet means something else.
const QUERY_LAST: u8 = 111;

impl fmt::Display for ServiceInstruction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Direct(access) => write!(f, "direct: {access}"),
            Self::Register { register: Register(number), operation } => match operation {
                RegisterOperation::Verify(value) => write!(f, "verify register {number} = {value}"),
                RegisterOperation::Write(value) => write!(f, "write register {number} = {value}"),
            },
            Self::AddressQuery(address) => write!(f, "is there {address}"),
            Self::Lock(address) => write!(f, "lock service mode for all but {address}"),
        }
    }
}

/// Why octets are not a service-mode instruction, or one cannot be made. Octets are counted from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ServiceError {
    /// The packet has none of the service-mode formats.
    NotServiceMode {
        /// Its first octet.
        first: u8,
    },
    /// The packet has a service-mode format, but bits within it are wrong.
    Octet {
        /// Place of the octet.
        octet: usize,
        /// What stands there.
        found: u8,
        /// What was expected.
        expected: &'static str,
    },
    /// Not a register.
    Register {
        /// The number given.
        number: u8,
    },
    /// Address-only mode carries seven bits.
    AddressOnlyValue {
        /// The value given.
        value: u8,
    },
    /// The old address query reaches 111.
    QueryAddress {
        /// The address given.
        number: u8,
    },
}

impl fmt::Display for ServiceError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::NotServiceMode { first } => {
                write!(f, "octet 1 is {first:02X}, which begins no service-mode packet of this length")
            }
            Self::Octet { octet, found, expected } => {
                write!(f, "octet {octet} is {found:02X}, expected {expected}")
            }
            Self::Register { number } => write!(f, "register {number} is outside 1 to 8"),
            Self::AddressOnlyValue { value } => {
                write!(f, "address {value} is above 127, the highest that address-only mode can carry")
            }
            Self::QueryAddress { number } => {
                write!(f, "address {number} is above 111, the highest that the address query can carry")
            }
        }
    }
}

impl core::error::Error for ServiceError {}

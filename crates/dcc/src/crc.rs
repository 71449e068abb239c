//! The CRC-8 of longer packets to addresses 253 and 254.
//!
//! What it is: the checksum that stands before the check octet. What it is not: part of ordinary packets.
//!
//! Source: RCN-218 §1.4 c and Annex C: polynomial x⁸+x⁵+x⁴+1, start value 0, not inverted, bits reflected.

/// The polynomial x⁸+x⁵+x⁴+1 with its bits reflected (`0x31` read from the other end).
const POLYNOMIAL_REFLECTED: u8 = 0x8C;

/// CRC-8 over the octets. Over a message that ends with its own CRC the result is 0.
///
/// ```
/// assert_eq!(dcc::crc8(b"123456789"), 0xA1);
/// ```
pub const fn crc8(octets: &[u8]) -> u8 {
    let mut crc = 0;
    let mut rest = octets;
    while let [octet, tail @ ..] = rest {
        crc = TABLE[(crc ^ *octet) as usize];
        rest = tail;
    }
    crc
}

const TABLE: [u8; 256] = {
    let mut table = [0; 256];
    let mut index: u16 = 0;
    while index < 256 {
        let [_, mut crc] = index.to_be_bytes();
        let mut bit = 0;
        while bit < 8 {
            crc = if crc & 1 == 1 { (crc >> 1) ^ POLYNOMIAL_REFLECTED } else { crc >> 1 };
            bit += 1;
        }
        table[index as usize] = crc;
        index += 1;
    }
    table
};

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_message_with_its_crc_has_crc_zero(message in proptest::collection::vec(any::<u8>(), 0..31)) {
            let mut whole = message.clone();
            whole.push(crc8(&message));
            prop_assert_eq!(crc8(&whole), 0);
        }
    }
}

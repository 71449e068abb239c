//! Tests of [`super`].

use proptest::prelude::*;
use std::string::ToString;
use std::vec::Vec;

use super::*;
use crate::bits::PREAMBLE_OPERATIONS;

fn payload() -> impl Strategy<Value = Vec<u8>> {
    proptest::collection::vec(any::<u8>(), 2..PACKET_MOST)
}

proptest! {
    #[test]
    fn a_payload_with_its_check_octet_is_a_packet(payload in payload()) {
        let packet = Packet::from_payload(&payload).expect("of legal length");
        prop_assert_eq!(packet.view().payload(), &payload[..]);
        prop_assert_eq!(xor(packet.as_bytes()), 0);
        prop_assert_eq!(Packet::from_octets(packet.as_bytes()), Ok(packet));
    }

    #[test]
    fn any_flipped_bit_is_noticed(payload in payload(), place in any::<prop::sample::Index>(), bit in 0_u32..8) {
        let packet = Packet::from_payload(&payload).expect("of legal length");
        let mut octets = packet.as_bytes().to_vec();
        let place = place.index(octets.len());
        octets[place] ^= 1_u8 << bit;
        prop_assert!(
            matches!(PacketView::new(&octets), Err(PacketError::Check { octet, .. }) if octet == octets.len()),
            "octet {}, bit {}", place, bit
        );
    }

    #[test]
    fn any_octets_are_judged_without_panic(octets in proptest::collection::vec(any::<u8>(), 0..40)) {
        match PacketView::new(&octets) {
            Ok(view) => prop_assert_eq!(view.as_bytes(), &octets[..]),
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
    }

    #[test]
    fn emit_writes_the_packet_and_nothing_else(payload in payload(), spare in 0_usize..4) {
        let packet = Packet::from_payload(&payload).expect("of legal length");
        let mut buffer = std::vec![0xA5; packet.as_bytes().len() + spare];
        let len = packet.emit(&mut buffer).expect("it fits");
        prop_assert_eq!(&buffer[..len], packet.as_bytes());
        prop_assert!(buffer[len..].iter().all(|octet| *octet == 0xA5));
        let mut small = std::vec![0xA5; packet.as_bytes().len() - 1];
        prop_assert!(packet.emit(&mut small).is_err());
        prop_assert!(small.iter().all(|octet| *octet == 0xA5), "the buffer is untouched");
    }

    #[test]
    fn the_duration_is_the_sum_of_the_half_bits(payload in payload(), preamble in 10_u8..40, signature: bool) {
        let packet = Packet::from_payload(&payload).expect("of legal length");
        let timing = SenderTiming::new(57, 99, 3_000).expect("legal");
        let timing = if signature { timing.with_logon_signature() } else { timing };
        let sum: u64 = packet.half_bits(preamble, timing).map(u64::from).sum();
        prop_assert_eq!(packet.duration(preamble, timing).as_micros(), sum);
        prop_assert_eq!(packet.half_bits(preamble, timing).len(), packet.half_bits(preamble, timing).count());
        prop_assert_eq!(packet.bits(preamble).len(), usize::from(preamble) + 9 * packet.as_bytes().len() + 1);
    }

    #[test]
    fn a_crc_is_found_where_it_belongs(payload in proptest::collection::vec(any::<u8>(), 5..29), logon: bool) {
        let mut payload = payload;
        payload[0] = if logon { 254 } else { 253 };
        let packet = Packet::from_payload_with_crc(&payload).expect("of legal length");
        prop_assert_eq!(packet.view().crc_status(), CrcStatus::Right);
    }
}

#[test]
fn a_crc_is_missed_only_in_long_packets_of_its_addresses() {
    let status = |payload: &[u8]| Packet::from_payload(payload).expect("legal").view().crc_status();
    assert_eq!(status(&[254, 1, 2, 3, 4, 5]), CrcStatus::Absent, "six octets may go without");
    assert_eq!(status(&[254, 1, 2, 3, 4, 5, 6]), CrcStatus::Wrong);
    assert_eq!(status(&[3, 1, 2, 3, 4, 5, 6]), CrcStatus::Absent, "not an address with CRC");
    assert_eq!(status(&[254, 0]), CrcStatus::Absent, "too short for one");
}

#[test]
fn the_constant_packets_are_whole() {
    for packet in [Packet::RESET, Packet::IDLE, Packet::PAGE_PRESET, Packet::FACTORY_RESET] {
        assert_eq!(Packet::from_octets(packet.as_bytes()), Ok(packet));
    }
    assert!(Packet::RESET.view().is_reset() && !Packet::RESET.view().is_idle());
    assert!(Packet::IDLE.view().is_idle() && !Packet::IDLE.view().is_reset());
}

#[test]
fn the_logon_signature_lengthens_the_start_bit_only() {
    let plain = Packet::IDLE.half_bits(PREAMBLE_OPERATIONS, SenderTiming::NOMINAL);
    let signed = Packet::IDLE.half_bits(PREAMBLE_OPERATIONS, SenderTiming::NOMINAL.with_logon_signature());
    let longer: Vec<usize> =
        plain.zip(signed).enumerate().filter(|(_, (a, b))| a != b).map(|(at, _)| at).collect();
    assert_eq!(longer, [32, 33], "both halves of the bit after the sixteen ones");
}

#[test]
fn messages_name_the_octet() {
    assert_eq!(
        PacketView::new(&[3, 0x3F, 0xB3, 0x8E]).expect_err("wrong").to_string(),
        "check octet (octet 4) is 8E, expected 8F"
    );
    assert_eq!(
        PacketView::new(&[3, 3]).expect_err("short").to_string(),
        "packet of 2 octets is too short: at least 3 with the check octet"
    );
    assert_eq!(
        Packet::from_payload(&[0; 32]).expect_err("long").to_string(),
        "packet of 33 octets is too long: at most 32 with the check octet"
    );
    assert_eq!(
        Packet::IDLE.emit(&mut [0; 2]).expect_err("small").to_string(),
        "packet of 3 octets does not fit into a buffer of 2"
    );
    assert_eq!(std::format!("{:?}", Packet::IDLE), "Packet(FF 00 FF)");
}

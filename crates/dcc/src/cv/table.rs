//! The entries of [`super::standard_cv`], in the order of their numbers.
//!
//! What it is: data. What it is not: any maker's CV.
//!
//! Source: each entry names its own. Uniformity is first that of NMRA, then that of RCN; `M` mandatory, `R` recommended,
//! `O` optional, `X` reserved, `K` for the maker, `U` not mentioned. The uniformity of the accessory CVs is (from memory).

use super::CvNumber;
use super::standard::{Access, StandardCv, Uniformity};

const M: Uniformity = Uniformity::Mandatory;
const R: Uniformity = Uniformity::Recommended;
const O: Uniformity = Uniformity::Optional;
const X: Uniformity = Uniformity::Reserved;
const K: Uniformity = Uniformity::Maker;
const U: Uniformity = Uniformity::Unmentioned;

const fn entry(
    first: u16,
    last: u16,
    name: &'static str,
    [nmra, rcn]: [Uniformity; 2],
    source: &'static str,
) -> StandardCv {
    StandardCv {
        first: CvNumber::literal(first),
        last: CvNumber::literal(last),
        name,
        nmra,
        rcn,
        access: Access::Stored,
        default: None,
        least: 0,
        most: 255,
        source,
    }
}

impl StandardCv {
    const fn read_only(self) -> Self {
        Self { access: Access::ReadOnly, ..self }
    }

    const fn volatile(self) -> Self {
        Self { access: Access::Volatile, ..self }
    }

    const fn delivered_with(self, value: u8) -> Self {
        Self { default: Some(value), ..self }
    }

    const fn taking(self, least: u8, most: u8) -> Self {
        Self { least, most, ..self }
    }
}

pub(super) static MULTI_FUNCTION: [StandardCv; 96] = [
    entry(1, 1, "primary address", [M, M], "S-9.2.2 CV1; RCN-225 CV1").delivered_with(3).taking(1, 127),
    entry(2, 2, "start voltage", [R, M], "S-9.2.2 CV2; RCN-225 CV2"),
    entry(3, 3, "acceleration rate", [R, M], "S-9.2.2 CV3; RCN-225 CV3"),
    entry(4, 4, "deceleration rate", [R, M], "S-9.2.2 CV4; RCN-225 CV4"),
    entry(5, 5, "maximum voltage", [O, M], "S-9.2.2 CV5; RCN-225 CV5"),
    entry(6, 6, "mid voltage", [O, O], "S-9.2.2 CV6; RCN-225 CV6"),
    entry(7, 7, "version number", [M, M], "S-9.2.2 CV7; RCN-225 CV7; RCN-226 §3").read_only(),
    entry(8, 8, "manufacturer identification", [M, M], "S-9.2.2 CV8; RCN-225 CV8; RCN-226 §2").read_only(),
    entry(9, 9, "period of the pulse-width modulation", [O, O], "S-9.2.2 CV9; RCN-225 CV9"),
    entry(10, 10, "feedback cutout of load control", [O, K], "S-9.2.2 CV10; RCN-225 CV10").taking(1, 128),
    entry(11, 11, "packet time-out", [R, R], "S-9.2.2 CV11; RCN-225 CV11"),
    entry(12, 12, "power sources or permitted modes", [O, O], "S-9.2.2 App. B; RCN-225 CV12"),
    entry(13, 13, "functions in analog operation, F1 to F8", [O, O], "S-9.2.2 CV13; RCN-225 CV13"),
    entry(14, 14, "functions in analog operation, F0 and F9 to F12", [O, O], "S-9.2.2 CV14; RCN-225 CV14")
        .taking(0, 63),
    entry(15, 15, "decoder lock, key", [O, O], "S-9.2.2 CV15; RCN-225 CV15"),
    entry(16, 16, "decoder lock, number of this decoder", [O, O], "S-9.2.2 CV16; RCN-225 CV16")
        .taking(0, 239),
    entry(17, 17, "extended address, high part", [O, M], "S-9.2.2 CV17/18; RCN-225 CV17/18")
        .delivered_with(195)
        .taking(192, 231),
    entry(18, 18, "extended address, low part", [O, M], "S-9.2.2 CV17/18; RCN-225 CV17/18")
        .delivered_with(232),
    entry(19, 19, "consist address", [O, R], "S-9.2.2 CV19; RCN-225 CV19/20"),
    entry(20, 20, "consist address, high part", [X, O], "RCN-225 CV19/20"),
    entry(21, 21, "functions that follow the consist, F1 to F8", [O, O], "S-9.2.2 CV21; RCN-225 CV21"),
    entry(22, 22, "functions that follow the consist, F0 and F9 up", [O, O], "S-9.2.2 CV22; RCN-225 CV22"),
    entry(23, 23, "acceleration adjustment", [O, O], "S-9.2.2 CV23; RCN-225 CV23"),
    entry(24, 24, "deceleration adjustment", [O, O], "S-9.2.2 CV24; RCN-225 CV24"),
    entry(25, 25, "speed table choice or mid step", [O, O], "S-9.2.2 CV25; RCN-225 CV25").taking(2, 154),
    entry(26, 26, "reserved", [X, X], "S-9.2.2 Table 1; RCN-225 §2"),
    entry(27, 27, "automatic stopping", [O, O], "S-9.2.2 CV27; RCN-225 CV27"),
    entry(
        28,
        28,
        "configuration of bi-directional communication",
        [O, O],
        "S-9.2.2 CV28; RCN-225 CV28; RCN-217 §4.2.1",
    ),
    entry(29, 29, "configuration", [M, M], "S-9.2.2 CV29; RCN-225 CV29"),
    entry(30, 30, "error information", [O, O], "S-9.2.2 CV30; RCN-225 CV30").volatile().delivered_with(0),
    entry(31, 31, "index page, high part", [O, O], "S-9.2.2 CV31/32; RCN-225 CV31/32"),
    entry(32, 32, "index page, low part", [O, O], "S-9.2.2 CV31/32; RCN-225 CV31/32"),
    entry(33, 33, "outputs of F0 forward", [O, O], "S-9.2.2 Table 2; RCN-225 CV33–46").delivered_with(1),
    entry(34, 34, "outputs of F0 reverse", [O, O], "S-9.2.2 Table 2; RCN-225 CV33–46").delivered_with(2),
    entry(35, 35, "outputs of F1", [O, O], "S-9.2.2 Table 2; RCN-225 CV33–46").delivered_with(4),
    entry(36, 36, "outputs of F2", [O, O], "S-9.2.2 Table 2; RCN-225 CV33–46").delivered_with(8),
    entry(37, 37, "outputs of F3", [O, O], "S-9.2.2 Table 2; RCN-225 CV33–46").delivered_with(16),
    entry(38, 38, "outputs of F4", [O, O], "S-9.2.2 Table 2; RCN-225 CV33–46").delivered_with(4),
    entry(39, 39, "outputs of F5", [O, O], "S-9.2.2 Table 2; RCN-225 CV33–46").delivered_with(8),
    entry(40, 40, "outputs of F6", [O, O], "S-9.2.2 Table 2; RCN-225 CV33–46").delivered_with(16),
    entry(41, 41, "outputs of F7", [O, O], "S-9.2.2 Table 2; RCN-225 CV33–46").delivered_with(32),
    entry(42, 42, "outputs of F8", [O, O], "S-9.2.2 Table 2; RCN-225 CV33–46").delivered_with(64),
    entry(43, 43, "outputs of F9", [O, O], "S-9.2.2 Table 2; RCN-225 CV33–46").delivered_with(16),
    entry(44, 44, "outputs of F10", [O, O], "S-9.2.2 Table 2; RCN-225 CV33–46").delivered_with(32),
    entry(45, 45, "outputs of F11", [O, O], "S-9.2.2 Table 2; RCN-225 CV33–46").delivered_with(64),
    entry(46, 46, "outputs of F12", [O, O], "S-9.2.2 Table 2; RCN-225 CV33–46").delivered_with(128),
    entry(47, 64, "for the maker", [K, K], "S-9.2.2 Table 1; RCN-225 §2"),
    entry(65, 65, "kick start", [O, K], "S-9.2.2 CV65; RCN-225 CV65"),
    entry(66, 66, "forward trim", [O, O], "S-9.2.2 CV66; RCN-225 CV66"),
    entry(67, 67, "speed table, step 1 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(68, 68, "speed table, step 2 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(69, 69, "speed table, step 3 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(70, 70, "speed table, step 4 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(71, 71, "speed table, step 5 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(72, 72, "speed table, step 6 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(73, 73, "speed table, step 7 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(74, 74, "speed table, step 8 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(75, 75, "speed table, step 9 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(76, 76, "speed table, step 10 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(77, 77, "speed table, step 11 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(78, 78, "speed table, step 12 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(79, 79, "speed table, step 13 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(80, 80, "speed table, step 14 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(81, 81, "speed table, step 15 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(82, 82, "speed table, step 16 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(83, 83, "speed table, step 17 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(84, 84, "speed table, step 18 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(85, 85, "speed table, step 19 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(86, 86, "speed table, step 20 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(87, 87, "speed table, step 21 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(88, 88, "speed table, step 22 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(89, 89, "speed table, step 23 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(90, 90, "speed table, step 24 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(91, 91, "speed table, step 25 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(92, 92, "speed table, step 26 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(93, 93, "speed table, step 27 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(94, 94, "speed table, step 28 of 28", [O, O], "S-9.2.2 CV67–94; RCN-225 CV67–94"),
    entry(95, 95, "reverse trim", [O, O], "S-9.2.2 CV95; RCN-225 CV95"),
    entry(96, 96, "function mapping method", [X, O], "RCN-225 CV96").taking(1, 6),
    entry(97, 104, "reserved, or for the maker", [X, K], "S-9.2.2 Table 1; RCN-225 §2"),
    entry(105, 105, "user identification 1", [O, O], "S-9.2.2 CV105/106; RCN-225 CV105/106"),
    entry(106, 106, "user identification 2", [O, O], "S-9.2.2 CV105/106; RCN-225 CV105/106"),
    entry(107, 107, "extended manufacturer identification, high part", [X, O], "RCN-225 CV107/108")
        .read_only()
        .taking(0, 15),
    entry(108, 108, "extended manufacturer identification, low part", [X, O], "RCN-225 CV107/108")
        .read_only(),
    entry(109, 111, "extended version number", [X, K], "S-9.2.2 Table 1; RCN-225 §2"),
    entry(112, 256, "for the maker", [K, K], "S-9.2.2 Table 1; RCN-225 §2"),
    entry(257, 512, "indexed area", [U, O], "RCN-225 CV31/32"),
    entry(513, 768, "for the maker", [K, K], "S-9.2.2 Table 1; RCN-225 §2"),
    entry(769, 879, "for the maker, or reserved", [K, X], "S-9.2.2 Table 1; RCN-225 §2"),
    entry(880, 891, "for the maker, or reserved", [K, X], "S-9.2.2 Table 1; RCN-225 §2").volatile(),
    entry(892, 892, "decoder load", [O, X], "S-9.2.2 CV892; RCN-225 §2").volatile(),
    entry(893, 893, "dynamic flags", [O, X], "S-9.2.2 CV893; RCN-225 §2").volatile(),
    entry(894, 894, "fuel or coal", [O, X], "S-9.2.2 CV894; RCN-225 §2").volatile(),
    entry(895, 895, "water", [O, X], "S-9.2.2 CV895; RCN-225 §2").volatile(),
    entry(896, 896, "train-bus modules, or reserved", [O, X], "S-9.2.2 Table 1; RCN-225 §2"),
    entry(897, 1024, "train-bus modules", [O, O], "S-9.2.2 Table 1; RCN-225 §2; RCN-602"),
];

pub(super) static ACCESSORY: [StandardCv; 8] = [
    entry(1, 1, "decoder or output address, low part", [M, M], "S-9.2.2 Table 3; RCN-225 §3.1 CV1")
        .delivered_with(1),
    entry(3, 6, "on-time of an output", [O, O], "S-9.2.2 Table 3"),
    entry(7, 7, "version number", [M, M], "S-9.2.2 Table 3").read_only(),
    entry(8, 8, "manufacturer identification", [M, M], "S-9.2.2 Table 3").read_only(),
    entry(9, 9, "decoder or output address, high part", [M, M], "S-9.2.2 Table 3")
        .delivered_with(0)
        .taking(0, 7),
    entry(28, 28, "configuration of bi-directional communication", [O, O], "S-9.2.2 Table 3"),
    entry(29, 29, "configuration", [M, M], "S-9.2.2 Table 3"),
    entry(33, 33, "status of four output pairs", [U, O], "RCN-225 §3.1 CV33").volatile(),
];

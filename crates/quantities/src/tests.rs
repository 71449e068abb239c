//! Reading and printing, and the errors as a person meets them.

use proptest::prelude::*;

use crate::{
    Area, Capacitance, Current, Length, MeterReading, Power, Quantity, Resistance, Temperature, Voltage,
    Volume,
};

#[track_caller]
fn reads<Q: Quantity>(text: &str, si: f64) {
    let quantity = Q::parse(text).unwrap();
    assert!((quantity.as_si() - si).abs() <= si.abs() * 1e-12, "{text}: {quantity:?}, wanted {si}");
}

#[track_caller]
fn refuses<Q: Quantity>(text: &str, message: &str, help: &str) {
    let error = Q::parse(text).unwrap_err();
    assert_eq!((error.to_string().as_str(), error.help().as_str()), (message, help));
}

#[test]
fn metric_and_imperial_spellings() {
    reads::<Current>("0.62 A", 0.62);
    reads::<Current>("620mA", 0.62);
    reads::<Resistance>("1 Mohm", 1e6);
    reads::<Resistance>("4.7k", 4700.0);
    reads::<Resistance>("8 Ω", 8.0);
    reads::<Length>("0.6 in", 0.01524);
    reads::<Length>("3/8 in", 0.009525);
    reads::<Length>("1 1/2 in", 0.0381);
    reads::<Length>("1e1 mm", 0.01);
    reads::<Volume>("10 cm3", 1e-5);
    reads::<Area>("3.9 cm²", 3.9e-4);
    reads::<Capacitance>("2200 uF", 2.2e-3);
    reads::<Temperature>("60 °C", 333.15);
    reads::<Temperature>("140 °F", 333.15);
    reads::<Voltage>("-6 V", -6.0);
}

#[test]
fn errors_teach() {
    refuses::<Current>(
        "0.62",
        "`0.62` has no unit; an electrical current needs one",
        "write one of \"0.62 µA\", \"0.62 mA\" or \"0.62 A\"",
    );
    refuses::<Current>(
        "0.62 V",
        "`V` is not a unit of electrical current",
        "use one of \"µA\", \"mA\" or \"A\"",
    );
    refuses::<Length>("0,6 in", "`0,6 in` has a comma where the decimal point belongs", "write \"0.6 in\"");
    refuses::<Length>(
        "wide",
        "`wide` is not a length: it does not start with a number",
        "write it like \"15 mm\"",
    );
    refuses::<Length>("", "empty where a length belongs", "write it like \"15 mm\"");
    refuses::<Power>("-1 W", "`-1 W` is out of range for a power", "it must lie between 0 W and 1000 kW");
    refuses::<Current>(
        "NaN A",
        "`NaN A` is not an electrical current: it does not start with a number",
        "write it like \"0.62 A\"",
    );
    refuses::<Current>(
        "1e300 A",
        "`1e300 A` is out of range for an electrical current",
        "it must lie between 0 A and 10000 A",
    );
    refuses::<Length>(
        "1/0 mm",
        "`1/0 mm` is not a length: it does not start with a number",
        "write it like \"15 mm\"",
    );
}

#[test]
fn prints_four_digits_in_the_fitting_unit() {
    let print = |ohms| Resistance::from_ohms(ohms).unwrap().to_string();
    assert_eq!(print(3.573_426), "3.573 ohm");
    assert_eq!(print(0.0), "0 ohm");
    assert_eq!(print(999.99), "1 kohm");
    assert_eq!(print(0.3), "0.3 ohm");
    assert_eq!(Temperature::from_kelvins(333.15).unwrap().to_string(), "60 °C");
    assert_eq!(Length::parse("0.6 in").unwrap().to_string(), "15.24 mm");
}

#[test]
fn laws() {
    let volts = Voltage::from_volts(4.0).unwrap();
    let ohms = Resistance::from_ohms(8.0).unwrap();
    assert_eq!((volts / ohms).to_string(), "500 mA");
    assert_eq!(Power::of_voltage(volts, ohms).to_string(), "2 W");
    assert_eq!(Voltage::of_power(Power::from_watts(2.0).unwrap(), ohms).to_string(), "4 V");
    assert_eq!(
        (volts / Resistance::from_ohms(0.0).unwrap()).to_string(),
        "10000 A",
        "saturates instead of infinity"
    );
}

#[test]
fn meter_readings() {
    assert_eq!(MeterReading::parse("OL").unwrap(), MeterReading::Open);
    assert_eq!(MeterReading::parse("> 1 Mohm").unwrap().to_string(), "> 1 Mohm");
    assert_eq!(MeterReading::parse("<0.5ohm").unwrap().to_string(), "< 0.5 ohm");
    assert_eq!(MeterReading::parse("7.3 ohm").unwrap().least(), Resistance::from_ohms(7.3));
    assert!(MeterReading::parse("7.3").unwrap_err().help().contains("OL"));
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused(text in ".{0,60}") {
        if let Err(error) = Resistance::parse(&text) {
            prop_assert!(!error.to_string().is_empty() && !error.help().is_empty());
        }
        let _ = MeterReading::parse(&text);
        let _ = Temperature::parse(&text);
    }

    #[test]
    fn printed_text_reads_back_to_four_digits(ohms in 1e-3..1e9f64) {
        let printed = Resistance::from_ohms(ohms).unwrap().to_string();
        let back = Resistance::parse(&printed).unwrap().as_ohms();
        prop_assert!((back - ohms).abs() <= ohms * 6e-4, "{ohms} printed as {printed}");
    }
}

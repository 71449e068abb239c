//! Small pieces of the card as markup, one tag a line; the whole page is checked in `tests/it`.

use finding::{Finding, Path, Severity};

use super::*;

/// One tag a line, so that a difference is seen where it is.
fn lines(markup: &Markup) -> String {
    markup.0.replace("><", ">\n<")
}

#[test]
fn a_stop_that_was_overridden() {
    let finding = Finding::new("speaker-shorted", Severity::Stop, "pads S1 and S2 read 0.2 ohm")
        .at(Path::new("survey.speaker.A"))
        .because("the amplifier needs 4 ohm")
        .remedy("take the bridge off")
        .source("Ohm's law");
    let one = CardFinding { finding, overridden: Some("read with the leads bridged".to_owned()) };
    insta::assert_snapshot!(lines(&findings::section(&[one]).body), @r#"
    <ul class="findings">
    <li class="finding stop">
    <p class="severity">
    <svg class="glyph" viewBox="0 0 24 24" aria-hidden="true">
    <path class="f" fill-rule="evenodd" d="M8 2h8l6 6v8l-6 6H8l-6-6V8zM6 10.2v3.6h12v-3.6z"/>
    </svg> <span>stop</span>
    </p>
    <div class="words">
    <p class="headline">pads S1 and S2 read 0.2 ohm</p>
    <p class="reason">the amplifier needs 4 ohm</p>
    <p class="labelled">
    <span class="kind">remedy</span> <span>take the bridge off</span>
    </p>
    <p class="labelled">
    <span class="kind">overridden</span> <span>read with the leads bridged</span>
    </p>
    <p class="origin">
    <span class="rule">speaker-shorted</span> · rests on <span class="rule">survey.speaker.A</span> · Ohm's law</p>
    </div>
    </li>
    </ul>
    "#);
}

#[test]
fn a_meter_row_that_is_still_to_be_read() {
    let row = MeterRow {
        from: "pad S1".into(),
        to: "pad S2".into(),
        expected: "13.5 to 14.9 ohm".into(),
        wrong: vec![WrongReading { reading: "OL".into(), means: "a joint is open".into() }],
        found: None,
    };
    let checks = ColdChecks { rows: vec![row], ..ColdChecks::default() };
    let body = lines(&cold_checks::section(&checks).unwrap().body);
    insta::assert_snapshot!(body.split_once("<tbody>").unwrap().1.trim(), @r#"
    <tr>
    <td class="number" data-label="no.">1</td>
    <td data-label="from">pad S1</td>
    <td data-label="to">pad S2</td>
    <td class="expected" data-label="must read">13.5 to 14.9 ohm</td>
    <td class="wrong" data-label="any other reading">
    <p>
    <b>OL</b>: a joint is open</p>
    </td>
    <td class="found" data-label="read">
    <span class="blank">
    <span class="unseen">to be read</span>
    </span>
    </td>
    </tr>
    </tbody>
    </table>
    "#);
}

#[test]
fn wires_say_what_happens_to_them() {
    let wire = |from: &str, to: &str, change| WireRow { from: from.to_owned(), to: to.to_owned(), change };
    let checks = ColdChecks {
        wires: vec![
            wire("A black", "pad S2", WireChange::TakenOff),
            wire("A black", "B red", WireChange::PutOn),
            wire("A red", "pad S1", WireChange::Stays),
        ],
        ..ColdChecks::default()
    };
    let body = lines(&cold_checks::section(&checks).unwrap().body);
    insta::assert_snapshot!(body.split_once("<tbody>").unwrap().1.trim(), @r#"
    <tr>
    <th scope="row" class="changes">take off</th>
    <td>A black</td>
    <td>pad S2</td>
    </tr>
    <tr>
    <th scope="row" class="changes">put on</th>
    <td>A black</td>
    <td>B red</td>
    </tr>
    <tr>
    <th scope="row" class="stays">stays</th>
    <td>A red</td>
    <td>pad S1</td>
    </tr>
    </tbody>
    </table>
    "#);
}

#[test]
fn contents_of_cvs_in_words() {
    let content = |page, cv, bits: Option<(u8, u8)>, value| {
        let bits = bits.map(|(lowest, highest)| BitRange { lowest, highest });
        CvContent { place: CvPlace { page, cv }, bits, value }.to_string().replace('\u{a0}', "_")
    };
    assert_eq!(content(None, 3, None, 16), "CV_3_=_16");
    assert_eq!(content(None, 29, Some((5, 5)), 1), "CV_29 bit_5_=_1");
    assert_eq!(content(Some((16, 0)), 257, Some((0, 3)), 9), "CV_257 on page_16/0 bits_0–3_=_9");
}

#[test]
fn a_cv_that_differs_and_one_behind_a_page() {
    let list = [
        CvRow {
            place: CvPlace::plain(29),
            value: 34,
            meaning: "long address".into(),
            previous: Some(6),
            proof: Proven::Differs(2),
        },
        CvRow {
            place: CvPlace { page: Some((16, 0)), cv: 257 },
            value: 5,
            meaning: "level".into(),
            previous: None,
            proof: Proven::Same,
        },
    ];
    let body = lines(&cv_list::section(&list).unwrap().body);
    let rows = body.split_once("<tbody>").unwrap().1.split_once("</tbody>").unwrap().0;
    insta::assert_snapshot!(rows.trim(), @r##"
    <tr>
    <th scope="row">29</th>
    <td class="page">
    </td>
    <td class="value">34</td>
    <td class="hex">22</td>
    <td class="bits">0010 0010</td>
    <td class="meaning">long address</td>
    <td class="previous changed">6</td>
    <td class="proof">
    <svg class="glyph" viewBox="0 0 24 24" role="img" aria-label="differs, reads 2">
    <use href="#mark-differs">
    </use>
    </svg> 2</td>
    </tr>
    <tr>
    <th scope="row">257</th>
    <td class="page">16/0</td>
    <td class="value">5</td>
    <td class="hex">05</td>
    <td class="bits">0000 0101</td>
    <td class="meaning">level</td>
    <td class="previous">–</td>
    <td class="proof">
    <svg class="glyph" viewBox="0 0 24 24" role="img" aria-label="proven">
    <use href="#mark-proven">
    </use>
    </svg>
    </td>
    </tr>
    "##);
}

#[test]
fn without_pages_nobody_is_told_about_them() {
    let row = CvRow {
        place: CvPlace::plain(29),
        value: 34,
        meaning: String::new(),
        previous: None,
        proof: Proven::Unread,
    };
    let body = cv_list::section(&[row]).unwrap().body.0;
    assert!(!body.contains("page") && !body.contains("CV\u{a0}31"), "{body}");
}

#[test]
fn a_key_with_two_deeds_and_a_note() {
    let deeds = vec![KeyDeed::new("horn"), KeyDeed::new("something of its own")];
    let key = Key { number: 2, deeds, note: Some("hold".to_owned()) };
    let body = lines(&keys::section(&[key], &Head::default()).unwrap().body);
    let item = body.split_once("<ul>").unwrap().1.split_once("</ul>").unwrap().0;
    insta::assert_snapshot!(item.trim(), @r#"
    <li class="pair">
    <b class="key">F2</b>
    <span class="glyphs">
    <svg class="glyph" viewBox="0 0 24 24" aria-hidden="true">
    <path d="M2.5 10.5v3h5l8 4.5V6l-8 4.5z"/>
    <path d="M18.5 9a4.5 4.5 0 0 1 0 6M20.5 6.5a8 8 0 0 1 0 11"/>
    </svg>
    <svg class="glyph" viewBox="0 0 24 24" aria-hidden="true">
    <circle cx="12" cy="12" r="8"/>
    <circle class="f" cx="12" cy="12" r="2.5"/>
    </svg>
    </span>
    <span class="words">horn, something of its own <i>hold</i>
    </span>
    </li>
    "#);
}

#[test]
fn every_deed_of_the_trade_has_a_glyph_of_its_own() {
    let shapes: std::collections::BTreeSet<String> =
        crate::Glyph::ALL.iter().map(|glyph| glyph.svg().into_string()).collect();
    assert_eq!(shapes.len(), crate::Glyph::ALL.len(), "two glyphs look alike");
    for glyph in crate::Glyph::ALL {
        assert_eq!(crate::Glyph::for_words(glyph.words()), *glyph);
    }
    assert_eq!(crate::Glyph::for_words("wipers"), crate::Glyph::Plain);
}

#[test]
fn cautions_come_once_in_their_order_and_end_with_the_mains() {
    let care =
        Care { cautions: vec![Caution::Magnets, Caution::LiveRails, Caution::Magnets], ..Care::default() };
    let body = care::section(&care).unwrap().body.0;
    let headings: Vec<&str> =
        body.split("<h3>").skip(1).map(|part| part.split_once("</h3>").unwrap().0).collect();
    assert_eq!(headings, ["live rails", "magnets", "mains"]);
    assert!(body.contains("licensed electrician") && body.contains("local code"));
}

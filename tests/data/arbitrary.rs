//! Whatever bytes a kit's files hold, reading them ends in an answer.

use markwright::data::{kit, understood};
use proptest::prelude::*;

use crate::given::{KIT, LENSES, MARKS, with};

const FILES: [(&str, &str); 6] = [
    ("kit.toml", KIT),
    ("lenses.csv", LENSES),
    ("marks/40.csv", MARKS),
    ("zoom/40.csv", "focal_mm,hiatus_mm\n40,2\n"),
    ("prep.csv", "lens,stop,taped,reading\n40,T2.1,6',6'\n"),
    ("shots.csv", "shot,lens,stop,cue,distance\n1,40,T2.8,a,6'\n"),
];

fn read(name: &str, content: Vec<u8>) {
    if let Ok((kit, _)) = kit::read(&with(name, content)) {
        // What was read can be said back, too.
        assert!(!understood(&kit).is_empty());
    }
}

/// A good file with some bytes changed, put in or taken out.
fn damaged(text: &'static str) -> impl Strategy<Value = Vec<u8>> {
    let piece = prop_oneof![
        any::<u8>().prop_map(|byte| vec![byte]),
        prop::sample::select(vec![
            "\"",
            "'",
            ",",
            ";",
            "\n",
            "\r",
            "\t",
            "#",
            "inf",
            "nan",
            "-",
            "1e400",
            "[",
            "]",
            "=",
            "½",
            "∞",
            "..",
            "5.6",
            "0",
            "position_deg",
            "[[",
            "\u{feff}",
            "\0",
            "9999999999999999",
        ])
        .prop_map(|text| text.as_bytes().to_vec()),
    ];
    let edit = (any::<prop::sample::Index>(), 0_usize..6, piece);
    prop::collection::vec(edit, 1..6).prop_map(move |edits| {
        let mut bytes = text.as_bytes().to_vec();
        for (at, drop, piece) in edits {
            let at = at.index(bytes.len() + 1);
            let end = (at + drop).min(bytes.len());
            bytes.splice(at..end, piece);
        }
        bytes
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, ..ProptestConfig::default() })]

    #[test]
    fn arbitrary_bytes_never_panic(bytes in prop::collection::vec(any::<u8>(), 0..300), file in 0..6_usize) {
        read(FILES[file].0, bytes);
    }

    #[test]
    fn arbitrary_text_never_panics(text in "\\PC{0,200}", file in 0..6_usize) {
        read(FILES[file].0, text.into_bytes());
    }
}

macro_rules! damage {
    ($($test:ident = $file:literal;)+) => { proptest! {
        #![proptest_config(ProptestConfig { cases: 512, ..ProptestConfig::default() })]
        $(#[test]
        fn $test(bytes in damaged(FILES[$file].1)) {
            read(FILES[$file].0, bytes);
        })+
    } };
}

damage! {
    a_damaged_kit_toml_never_panics = 0;
    damaged_lenses_never_panic = 1;
    damaged_marks_never_panic = 2;
    a_damaged_zoom_never_panics = 3;
    a_damaged_prep_never_panics = 4;
    damaged_shots_never_panic = 5;
}

//! Whatever is imported reads back as it was, beside what was there.

use super::*;

/// Distances in whole inches or centimetres, positions in hundredths, both one way.
fn rows() -> impl Strategy<Value = Vec<(bool, u32, f64)>> {
    (
        proptest::collection::btree_set(40u32..900, 2..20),
        proptest::collection::vec(1u32..900, 20),
        any::<bool>(),
        any::<bool>(),
    )
        .prop_map(|(distances, steps, falls, feet)| {
            let mut at = 0;
            let rows = distances.into_iter().zip(steps).map(|(distance, step)| {
                at += step;
                let position = f64::from(at) / 100.0;
                (feet, distance, if falls { -position } else { position })
            });
            rows.collect()
        })
}

proptest! {
    #[test]
    fn what_is_imported_reads_back_equal(
        rows in rows(),
        sign in prop_oneof![Just(','), Just(';'), Just('\t')],
        header in any::<bool>(),
    ) {
        let commas = sign != ',';
        let figure = |value: f64| match commas {
            true => format!("{value}").replace('.', ","),
            false => format!("{value}"),
        };
        let mut text = String::new();
        if header {
            text.push_str(&format!("a distance{sign}a reading\n"));
        }
        for (feet, distance, position) in &rows {
            let distance = match feet {
                true => format!("{}'{}", distance / 12, distance % 12),
                false => format!("{}m", figure(f64::from(*distance) / 100.0)),
            };
            text.push_str(&format!("{distance}{sign}{}\n", figure(*position)));
        }
        let files = given();
        let imported = ok(table(&files, text.as_bytes(), MM));
        let read = marks(&files, &imported, "75");
        prop_assert_eq!(read.len(), rows.len());
        for (mark, (feet, distance, position)) in read.iter().zip(&rows) {
            // 1 in = 25.4 mm; centimetres are tens of millimetres.
            let meant = match feet {
                true => f64::from(*distance) * 254.0 / 10.0,
                false => f64::from(*distance) * 10.0,
            };
            prop_assert_eq!(mark.distance, FocusDistance::at(Length::mm(meant)).unwrap());
            prop_assert_eq!(mark.position.value(), *position);
            prop_assert_eq!(mark.kind, MarkKind::Read);
        }
        // Imported once more, by the names a kit has, it is the same.
        let again = How { columns: Named::default(), unit: None, if_there: IfThere::Replace, ..MM };
        let once = after(&files, &imported);
        let again = ok(table(&once, &imported.changes[0].after, again));
        prop_assert_eq!(&marks(&once, &again, "75"), &read);
        // Put to marks of another kind, it leaves them byte by byte.
        let turns = rows[0].2 < rows[1].2;
        let old = match turns {
            true => "\u{feff}# mine\r\ndistance;position_mm;kind\r\n20';900;eye\r\n1000';901,5;eye",
            false => "\u{feff}# mine\r\ndistance;position_mm;kind\r\n20';-900;eye\r\n1000';-901,5;eye",
        };
        let files = files.with("marks/75.csv", old);
        let put = How { if_there: IfThere::Append, ..MM };
        let put = ok(table(&files, text.as_bytes(), put));
        prop_assert!(put.changes[0].after.starts_with(old.as_bytes()));
        let all = marks(&files, &put, "75");
        prop_assert_eq!(all.len(), rows.len() + 2);
        for (mark, alone) in all[2..].iter().zip(&read) {
            prop_assert_eq!((mark.distance, mark.position), (alone.distance, alone.position));
        }
    }

    #[test]
    fn no_bytes_make_it_panic(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        let _ = table(&given(), &bytes, MM);
    }

    #[test]
    fn no_text_makes_it_panic(
        text in "([0-9'\",;.\t\n =#∞a-f-]|inf|ft|mm){0,80}",
        pasted in "[0-9'\" ,;./∞inf-]{0,40}",
    ) {
        let _ = table(&given(), text.as_bytes(), MM);
        let columns = Named::default();
        let _ = table(&given(), text.as_bytes(), How { columns, ..MM });
        let _ = line(&given(), &pasted, MM);
    }
}

//! A hundred prep days nobody chose.

use markwright::draw::prep_report::{draw_lens, draw_set};
use markwright::scene::Page;
use markwright::sheets::PrepSetSheet;

use super::super::many::Dice;
use super::super::pages::{paper, pdf};
use super::super::plot::many::assert_clean;
use super::super::reader::read;
use super::bench::random;
use super::{answer, assert_lens, assert_set, lens_sheet};

/// How many kits are tried.
const KITS: usize = 100;

#[test]
fn a_hundred_prep_days_are_drawn_without_a_collision() {
    let papers = ["a4", "letter", "a4", "a5"];
    let mut dice = Dice(11);
    let (mut drawn, mut refused) = (0, 0);
    for index in 0..KITS {
        let kit = random(&mut dice);
        let id = papers[index % papers.len()];
        let answer = answer(&kit, None);
        // One file for a kit, since each file carries its letters.
        let mut pages: Vec<Page> = Vec::new();
        let mut sheets: Vec<(usize, Option<usize>)> = Vec::new();
        let mut take = |drawn: Result<Vec<Page>, _>, lens: Option<usize>| match drawn {
            Ok(more) => {
                sheets.push((more.len(), lens));
                pages.extend(more);
            }
            Err(none) => {
                assert_eq!(id, "a5", "{none}: {kit:?}");
                refused += 1;
            }
        };
        take(draw_set(&PrepSetSheet::of(&answer, &kit), paper(id)), None);
        for (number, lens) in answer.lenses.iter().enumerate() {
            let sheet = lens_sheet(&answer, lens, &kit);
            take(draw_lens(&sheet, paper(id)), Some(number));
        }
        if pages.is_empty() {
            continue;
        }
        let mut read = read(&pdf(&pages)).into_iter();
        for (count, lens) in sheets {
            let own: Vec<_> = read.by_ref().take(count).collect();
            for page in &own {
                let what = format!("kit {index} on {id}, lens {lens:?}");
                assert_clean(page, &what);
            }
            match lens {
                None => assert_set(&answer, &own),
                Some(number) => assert_lens(&answer.lenses[number], &own),
            }
            drawn += 1;
        }
    }
    assert!(drawn > 4 * KITS, "{drawn} drawn, {refused} had no room");
}

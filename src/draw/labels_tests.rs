use proptest::prelude::*;

use super::*;

const RULE: Rule = Rule {
    from: Length::ZERO,
    to: Length::mm(60.0),
    gap: Length::mm(1.0),
    leader: Length::mm(4.0),
};

fn candidate(tick: f64, width: f64, points: u32, duty: Duty) -> Candidate {
    Candidate {
        tick: Length::mm(tick),
        width: Length::mm(width),
        worth: Worth::of(points),
        duty,
        leads: true,
    }
}

fn wanted(tick: f64, width: f64, points: u32) -> Candidate {
    candidate(tick, width, points, Duty::Wanted)
}

fn required(tick: f64, width: f64) -> Candidate {
    candidate(tick, width, 10, Duty::Required)
}

/// The best score over every choice there is, by trying them all.
fn by_trying_all(candidates: &[Candidate], rule: &Rule) -> Option<Score> {
    fn go(
        rest: &[(usize, Candidate)],
        rule: &Rule,
        edge: Option<Length>,
        score: Score,
        best: &mut Option<Score>,
        total: u32,
    ) {
        let Some(((index, first), rest)) = rest.split_first() else {
            if score.required == total && best.is_none_or(|known| score > known) {
                *best = Some(score);
            }
            return;
        };
        go(rest, rule, edge, score, best, total);
        for spot in rule.spots(*index, first) {
            if edge.is_none_or(|edge| edge + rule.gap <= spot.left) {
                let score = score.with(first, &spot);
                go(rest, rule, Some(spot.right), score, best, total);
            }
        }
    }
    let mut sorted: Vec<(usize, Candidate)> = candidates.iter().copied().enumerate().collect();
    sorted.sort_by(|one, other| one.1.tick.to_mm().total_cmp(&other.1.tick.to_mm()));
    let total = candidates.iter().filter(|one| one.duty == Duty::Required);
    let mut best = None;
    let total = total.count() as u32;
    go(&sorted, rule, None, Score::NOTHING, &mut best, total);
    best
}

fn score_of(candidates: &[Candidate], chosen: &[Chosen], rule: &Rule) -> Score {
    chosen.iter().fold(Score::NOTHING, |score, figure| {
        let candidate = &candidates[figure.candidate];
        let spot = rule
            .spots(figure.candidate, candidate)
            .find(|spot| spot.place == figure.place)
            .expect("a chosen place lies within the range");
        score.with(candidate, &spot)
    })
}

#[test]
fn figures_with_room_all_stand_straight() {
    let all = [
        wanted(10.0, 3.0, 5),
        wanted(20.0, 3.0, 5),
        wanted(30.0, 3.0, 5),
    ];
    let chosen = choose(&all, &RULE).expect("nothing is required");
    assert_eq!(chosen.len(), 3);
    assert!(chosen.iter().all(|figure| figure.place == Place::Straight));
}

#[test]
fn a_required_figure_pushes_out_a_worthier_one() {
    let all = [
        wanted(20.0, 12.0, 100),
        candidate(21.0, 12.0, 1, Duty::Required),
    ];
    let chosen = choose(&all, &RULE).expect("one required figure fits");
    assert_eq!(chosen.len(), 1);
    assert_eq!(chosen[0].candidate, 1);
}

#[test]
fn two_close_figures_part_on_one_leader_not_two() {
    let all = [wanted(20.0, 3.0, 5), wanted(22.0, 3.0, 5)];
    let chosen = choose(&all, &RULE).expect("nothing is required");
    let leaders = chosen.iter().filter(|one| one.place != Place::Straight);
    assert_eq!((chosen.len(), leaders.count()), (2, 1));
    // Of the two equal ways, the one whose figures stand nearer close focus.
    assert_eq!(chosen[0].place, Place::Straight);
    assert_eq!(chosen[1].place, Place::LeaderRight);
}

#[test]
fn worthless_figures_are_left_out() {
    assert_eq!(choose(&[wanted(20.0, 3.0, 0)], &RULE), Ok(vec![]));
    assert_eq!(choose(&[], &RULE), Ok(vec![]));
}

#[test]
fn required_figures_that_collide_are_named() {
    let all = [
        required(10.0, 3.0),
        wanted(20.0, 3.0, 50),
        required(30.0, 20.0),
        required(31.0, 20.0),
    ];
    let answer = choose(&all, &RULE);
    assert_eq!(
        answer,
        Err(DoesNotFit::Pair {
            first: 2,
            second: 3
        })
    );
}

#[test]
fn a_required_figure_wider_than_the_scale_is_named_alone() {
    assert_eq!(
        choose(&[wanted(1.0, 1.0, 1), required(30.0, 61.0)], &RULE),
        Err(DoesNotFit::Alone { candidate: 1 })
    );
}

#[test]
fn at_the_end_of_the_scale_a_leader_brings_the_figure_inside() {
    let chosen = choose(&[wanted(0.0, 3.0, 5)], &RULE).expect("nothing is required");
    assert_eq!(chosen[0].place, Place::LeaderRight);
}

#[test]
fn a_thousand_candidates_are_no_burden() {
    let many: Vec<Candidate> = (0..1000)
        .map(|index| wanted(f64::from(index) * 0.06, 3.0, 1 + index % 7))
        .collect();
    let chosen = choose(&many, &RULE).expect("nothing is required");
    assert!(chosen.len() >= 14);
}

prop_compose! {
    fn any_candidate()(
        // Quarters of a millimetre, so that edges often touch exactly.
        tick in 0..=240_i32,
        width in 1..=40_i32,
        points in 0..=6_u32,
        must in prop::bool::weighted(0.2),
        leads in prop::bool::weighted(0.8),
    ) -> Candidate {
        let duty = if must { Duty::Required } else { Duty::Wanted };
        let candidate = candidate(f64::from(tick) / 4.0, f64::from(width) / 4.0, points, duty);
        Candidate { leads, ..candidate }
    }
}

proptest! {
    #[test]
    fn no_choice_scores_higher_than_the_one_taken(
        candidates in prop::collection::vec(any_candidate(), 0..7),
        leader in 0..=20_i32,
    ) {
        let rule = Rule { to: Length::mm(24.0), leader: Length::mm(f64::from(leader) / 4.0), ..RULE };
        let best = by_trying_all(&candidates, &rule);
        match choose(&candidates, &rule) {
            Ok(chosen) => prop_assert_eq!(Some(score_of(&candidates, &chosen, &rule)), best),
            Err(_) => prop_assert_eq!(best, None),
        }
    }

    #[test]
    fn figures_keep_their_order_their_gap_and_the_range(
        candidates in prop::collection::vec(any_candidate(), 0..60),
    ) {
        if let Ok(chosen) = choose(&candidates, &RULE) {
            let edges = chosen.iter().map(|figure| {
                let one = &candidates[figure.candidate];
                (one.tick, figure.middle - one.width / 2.0, figure.middle + one.width / 2.0)
            });
            let edges: Vec<_> = edges.collect();
            for (_, left, right) in &edges {
                prop_assert!(*left >= RULE.from && *right <= RULE.to);
            }
            for pair in edges.windows(2) {
                prop_assert!(pair[0].0 <= pair[1].0);
                prop_assert!(pair[0].2 + RULE.gap <= pair[1].1);
            }
            let required = candidates.iter().filter(|one| one.duty == Duty::Required).count();
            let kept = chosen.iter().filter(|figure| candidates[figure.candidate].duty == Duty::Required).count();
            prop_assert_eq!(kept, required);
        }
    }
}

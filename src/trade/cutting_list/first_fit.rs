//! First-fit decreasing: the longest pieces first, each into the first bar
//! begun that still holds it.

use crate::trade::cutting_list::{Job, Plan};
use crate::trade::work;

/// Which bar is begun when none that is begun holds the piece.
#[derive(Clone, Copy)]
enum Begin {
    Longest,
    ShortestThatHolds,
}

/// Returns the better of two first-fit plans, beginning the longest bars first or the
/// shortest that hold the piece; none where neither holds all pieces.
pub(super) fn plan(job: &Job) -> Option<Plan> {
    [Begin::Longest, Begin::ShortestThatHolds]
        .into_iter()
        .filter_map(|begin| fit(job, begin))
        .min_by_key(Plan::cost)
}

fn fit(job: &Job, begin: Begin) -> Option<Plan> {
    let mut unused = job.bars.clone();
    let mut plan = Plan::default();
    let mut room: Vec<i64> = Vec::new();
    for (place, piece) in job.pieces.iter().enumerate() {
        if !work::count(room.len() + unused.len()) {
            return None;
        }
        let mut begun = room.iter_mut().zip(&mut plan.bars);
        if let Some((room, (_, places))) = begun.find(|(room, _)| **room >= *piece) {
            *room -= piece;
            places.push(place);
            continue;
        }
        // The unused bars run from the longest to the shortest.
        let at = match begin {
            Begin::Longest => unused
                .first()
                .filter(|bar| job.holds(**bar) >= *piece)
                .map(|_| 0),
            Begin::ShortestThatHolds => unused.iter().rposition(|bar| job.holds(*bar) >= *piece),
        }?;
        let bar = if job.unlimited {
            unused.get(at).copied()?
        } else {
            unused.remove(at)
        };
        room.push(job.holds(bar) - piece);
        plan.bars.push((bar, vec![place]));
    }
    Some(plan)
}

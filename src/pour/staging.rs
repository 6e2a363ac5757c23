//! What must stand ready before the first bag is opened.

use super::result::{Batch, PourPlan, PourRequest, Staged, StagingItem};

/// The staging list.
///
/// Counts of tools are common practice without a published source.
pub(super) fn list(request: &PourRequest, plan: &PourPlan) -> Vec<StagingItem> {
    let batches: Vec<&Batch> = plan.batches().collect();
    let item = |item: Staged, count: u32| StagingItem { item, count };
    let most_bags = batches.iter().map(|b| b.bags).max().unwrap_or(0);
    let full = batches.iter().find(|b| b.bags == most_bags);
    // Between lifts nothing stands open.
    let first_bags = plan.lifts.first().map_or(0, |l| l.bags);
    // Two rounds of every mixer.
    let ahead = (2 * request.mixers).min(batches.len() as u32);
    let mut list = vec![
        item(
            Staged::Bags {
                batches: batches.len() as u32,
                most_bags,
            },
            plan.bags,
        ),
        item(Staged::BagsOpened, (ahead * most_bags).min(first_bags)),
    ];
    if let Some(total_m3) = plan.water_m3 {
        list.push(item(Staged::Water { total_m3 }, 1));
    }
    list.extend([
        item(
            Staged::Buckets {
                each_m3: full.and_then(|b| b.water_m3),
            },
            ahead,
        ),
        item(Staged::Barrels, request.mixers + 1),
        item(Staged::Drills, request.mixers + 1),
        item(
            Staged::People {
                mixing: request.mixers,
            },
            request.people,
        ),
        item(Staged::GaugeRake, 1),
        item(Staged::Smoother, 1),
        item(Staged::SpikedShoes, request.people),
        item(Staged::DepthPins, 0),
        item(Staged::Protection, request.people),
    ]);
    list
}

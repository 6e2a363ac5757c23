//! A take-off by the batches of a pour plan: what the pour takes is what is ordered.

use super::lines::Dam;
use super::price::{BAGS, DAMS};
use super::quantities::{Batches, TakeOff, Water};

/// What a pour plan takes.
#[derive(Debug, Clone, PartialEq)]
pub struct Poured {
    /// Bags of each batch, in their order.
    pub bags: Vec<u32>,
    /// Water of each batch, cubic metres; `None` where the sheet does not state it.
    pub water_m3: Vec<Option<f64>>,
    /// Dams between its bays; `None` where it has none.
    pub bay_dams: Option<Dam>,
}

impl TakeOff {
    /// Takes bags, batches, water, dams between bays and what they cost over from a pour plan. Every batch is of whole bags, so that where the floor
    /// does not hang together the plan may take more than the volume as a whole.
    pub fn take_as_poured(&mut self, poured: &Poured) {
        let count: u32 = poured.bags.iter().sum();
        let (Some(&most), Some(&last)) = (poured.bags.iter().max(), poured.bags.last()) else {
            return;
        };
        if let Some(bags) = &mut self.bags {
            // What moves the count by volume moves it by as many.
            let more = i64::from(count) - i64::from(bags.count);
            for s in &mut bags.sensitivity {
                s.bags = (i64::from(s.bags) + more).max(0) as u32;
            }
            bags.count = count;
            let mixed_m3 = f64::from(count) * bags.yield_m3;
            bags.left_with_waste_m3 = (mixed_m3 - self.ordered_m3).max(0.0);
            bags.left_without_waste_m3 = (mixed_m3 - self.volume_m3).max(0.0);
        }
        let full = &poured.bags[..poured.bags.len() - 1];
        self.batches = Some(Batches {
            bags_per_batch: most,
            count: poured.bags.len() as u32,
            last_bags: full.iter().all(|&b| b == most).then_some(last),
        });
        let of = |bags: u32| {
            let at = poured.bags.iter().position(|&b| b == bags)?;
            poured.water_m3[at]
        };
        let total_m3 = poured.water_m3.iter().copied().sum::<Option<f64>>();
        if let (Some(total_m3), Some(per_batch_m3), Some(last_batch_m3)) =
            (total_m3, of(most), of(last))
        {
            self.water = Some(Water {
                total_m3,
                per_batch_m3,
                last_batch_m3,
            });
        }
        self.dams.extend(poured.bay_dams.clone());
        if let Some(costs) = &mut self.costs {
            costs.set(BAGS, f64::from(count));
            costs.set(DAMS, self.dams.iter().map(|d| d.length_m).sum());
        }
    }
}

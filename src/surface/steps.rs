//! Where the floor may step: places on joints, and the same floor without steps there.

use super::floor::{Across, Floor};
use std::collections::{BTreeMap, HashMap};

impl Floor {
    /// Vertices that stand in one place on the two sides of a joint, or on more where joints meet; each list rising.
    ///
    /// Whether the floor steps there is seldom read: the floor is carried out to a joint from either side.
    pub fn joint_places(&self) -> Vec<Vec<u32>> {
        let mut group: HashMap<u32, u32> = HashMap::new();
        let find = |group: &HashMap<u32, u32>, mut v: u32| {
            while let Some(&up) = group.get(&v).filter(|up| **up != v) {
                v = up;
            }
            v
        };
        for t in 0..self.triangles.len() as u32 {
            for e in 0..3 {
                let Across::Joint(other) = self.across[t as usize][e] else {
                    continue;
                };
                for v in [0, 1].map(|k| self.triangles[t as usize][(e + k) % 3]) {
                    let place = self.vertices[v as usize].at;
                    let twin = self.triangles[other as usize]
                        .into_iter()
                        .find(|&w| self.vertices[w as usize].at == place);
                    let (a, b) = (find(&group, v), find(&group, twin.unwrap_or(v)));
                    group.entry(v).or_insert(v);
                    group.insert(a.max(b), a.min(b));
                }
            }
        }
        let mut places: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
        let mut all: Vec<u32> = group.keys().copied().collect();
        all.sort_unstable();
        for v in all {
            places.entry(find(&group, v)).or_default().push(v);
        }
        places
            .into_values()
            .filter(|place| place.len() > 1)
            .collect()
    }

    /// The same floor without steps at these places: each at the mean of its heights.
    pub fn without_steps(&self, places: &[Vec<u32>]) -> Option<Floor> {
        let mut heights: Vec<f64> = self.vertices.iter().map(|v| v.z).collect();
        for place in places {
            let sum: f64 = place.iter().map(|&v| heights[v as usize]).sum();
            for &v in place {
                heights[v as usize] = sum / place.len() as f64;
            }
        }
        self.with_heights(&heights)
    }
}

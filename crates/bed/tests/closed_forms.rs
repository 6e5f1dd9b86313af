//! What can be known without integrating: how fast fronts move, what lies between them, and Hukill's bed.

mod common;

use bed::hukill::HukillBed;
use bed::{Block, ColumnParams, profile};
use common::*;
use physics::sorption::SorptionHeat;

fn table(name: &str) -> Vec<csv::StringRecord> {
    let path = format!("{}/tests/tables/{name}", env!("CARGO_MANIFEST_DIR"));
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).unwrap();
    reader.records().map(Result::unwrap).collect()
}

/// Fronts of the equilibrium bed. Between the two fronts lies a plateau; the drying front moves at
/// v = G (W_plateau − W_in)/(ρ_d (M_plateau − M_dry)) and the plateau follows from that jump and the jump of enthalpy
/// (`tests/tables/front.csv`, solved apart from this code; see `validation/closed`).
#[test]
fn drying_fronts_move_as_the_jump_relations_say() {
    for row in table("front.csv") {
        let (name, sorption) = (row[0].to_string(), &row[1] == "true");
        let [t_plateau, m_plateau, w_plateau, _, m_dry, v_day, _] =
            std::array::from_fn(|i| row[i + 2].parse::<f64>().unwrap());
        let (isotherm, depth, density, flux, moisture, grain, inlet) = match name.as_str() {
            "V1" => (CORN, 4.5, 580.0, 0.0725, 0.25, 15.0, (10.56, 0.003937)),
            "V2" => (WHEAT, 5.0, 640.0, 0.0603, 0.219512, 20.0, (16.67, 0.006592)),
            other => panic!("no bed {other}"),
        };
        let heat = if sorption { SorptionHeat::of(&isotherm, 20.0) } else { SorptionHeat::NONE };
        let column = ColumnParams { sorption: heat, ..bare(isotherm) };
        let layers = 400;
        let mut block = Block::new(group(layers, &column), &column);
        fill(&mut block, 0, depth, density, moisture, grain);
        let air = air(0, inlet.0, inlet.1, flux, 600.0);
        let centres = centres(layers, depth);
        let mut places = Vec::new();
        let mut exhaust = (0.0, 0.0);
        for hour in 1..=480 {
            for _ in 0..6 {
                let out = block.advance(&air);
                exhaust = (out.temperature[0], out.humidity_ratio[0]);
            }
            if hour == 120 || hour == 480 {
                let moistures: Vec<f64> = block.layers(0).map(|l| l.moisture).collect();
                places.push(profile::front_depth(&centres, &moistures).expect("a front stands in the bed"));
            }
        }
        let speed = (places[1] - places[0]) / 15.0;
        let (dry, ahead) = (block.layer(0, 0), block.layer(0, layers - 1));
        let jump = flux * (exhaust.1 - inlet.1) / (density * (ahead.moisture - dry.moisture)) * 86_400.0;
        println!("{name}, sorption heat {sorption}: {speed:.5} m/d, by its own jump {jump:.5}, by table {v_day:.5}");
        assert!((speed / jump - 1.0).abs() < 0.01, "{name}: {speed} against {jump}");
        assert!((speed / v_day - 1.0).abs() < 0.01, "{name}: {speed} against {v_day}");
        assert!((ahead.temperature - t_plateau).abs() < 0.02, "{name}: plateau {} °C", ahead.temperature);
        assert!((exhaust.0 - t_plateau).abs() < 0.02 && (exhaust.1 - w_plateau).abs() < 1e-5, "{name}: {exhaust:?}");
        // The plateau still carries the tail of the temperature front where the table has none.
        assert!((100.0 * wet_basis(ahead.moisture) - m_plateau).abs() < 0.01, "{name}: {}", ahead.moisture);
        assert!((100.0 * wet_basis(dry.moisture) - m_dry).abs() < 0.005, "{name}: {}", dry.moisture);
    }
}

/// Hukill's bed against his solution; what is simplified stands with [`HukillBed`].
#[test]
fn hukills_bed() {
    let (coarse, fine) = (40, 80);
    let mut worst = 0.0f64;
    let mut compared = 0;
    for row in table("hukill.csv") {
        let [depth, times, value] = [0, 1, 3].map(|i| row[i].parse::<f64>().unwrap());
        // Implicit upwind is first order in both: what two grids say, extrapolated, is compared.
        let at = |per_unit: usize| HukillBed::dried(depth, times, per_unit).quantity(&row[2]);
        let (low, high) = (at(coarse), at(fine));
        let limit = 2.0 * high - low;
        println!("D {depth}, Y {times}, {}: {limit:.5} against {value:.5} (80 a unit: {high:.5})", &row[2]);
        worst = worst.max((limit - value).abs());
        assert!((high - value).abs() < (low - value).abs() + 2e-4, "the finer grid is nearer");
        compared += 1;
    }
    println!("Hukill: {compared} values, largest difference {worst:.5} in moisture ratio");
    assert_eq!(compared, 23);
    // The agreement of the independent integration named in the table; latent heat and air heat still change by 0.03 % here.
    assert!(worst < 4e-4, "{worst}");
}

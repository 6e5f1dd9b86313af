//! Full-load currents of the code's tables against a second, independently read copy of them.

use equipment::motor::HORSEPOWER;
use equipment::wiring::code_current;
use physics::electric::Phases;

/// The table holds sizes and voltages that ours leaves out (115 V three-phase, above 100 hp); they are counted.
#[test]
fn two_copies_of_the_code_agree() {
    let (mut compared, mut beyond) = (0, 0);
    for (i, line) in include_str!("tables/code-currents.csv").lines().enumerate().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let number = |c: usize| cells[c].parse::<f64>().expect("a number");
        let phases = if cells[0] == "1" { Phases::Single } else { Phases::Three };
        match code_current(number(1) * HORSEPOWER, number(2), phases) {
            Some(ours) => {
                compared += 1;
                assert_eq!(ours, number(3), "line {}: {line}", i + 1);
            }
            None => beyond += 1,
        }
    }
    println!("code currents: {compared} compared, {beyond} beyond our table");
    assert!(compared == 138 && beyond == 20, "{compared} compared, {beyond} beyond");
}

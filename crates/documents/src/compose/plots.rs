//! The pictures of the papers, each with the numbers behind it.

use super::Desk;
use crate::colour::{BLUE, INK};
use crate::html::{air, years};
use crate::paper::{Datum, Figure, Series};
use crate::plot::{Axis, Label, Mark, Plot, Shape};
use crate::scene::{Dash, Stroke};
use crate::section;
use crate::shown::{Form, around};
use notice::Kind;

fn number(value: f64) -> Datum {
    Datum::Number(value)
}

fn date(year: i32, day: f64) -> Datum {
    let text = crate::calendar::date(year, day)
        .map_or_else(String::new, |d| format!("{:04}-{:02}-{:02}", d.year, d.month, d.day));
    Datum::Text(text)
}

impl Desk<'_> {
    /// The section of the bin, with its title block.
    pub fn section(&self) -> Option<Figure> {
        let bin = self.data.section.as_ref()?;
        let scene = section::draw(bin, &self.data.title, self.data.verdict.goal, self.reader, Form::Wide);
        let columns = ["column", "layer from the floor", "thickness", "value"];
        let behind = bin.grain.iter().map(|grain| Series {
            name: format!("section, {}", self.reader.axis(&grain.what, grain.kind)),
            columns: columns.iter().map(|c| (*c).to_string()).collect(),
            rows: grain
                .columns
                .iter()
                .flat_map(|column| {
                    column.layers.iter().enumerate().map(|(k, (thickness, value))| {
                        vec![
                            Datum::Text(column.name.clone()),
                            number((k + 1) as f64),
                            number(self.reader.value(Kind::Length, *thickness)),
                            number(self.reader.value(grain.kind, *value)),
                        ]
                    })
                })
                .collect(),
        });
        Some(Figure {
            name: "The bin, drawn to scale".into(),
            says: scene.describe.clone(),
            behind: behind.collect(),
            scene,
        })
    }

    /// Fans against the grain.
    pub fn curves(&self) -> Option<Figure> {
        let report = &self.data.air;
        if report.fans.is_empty() && report.systems.is_empty() {
            return None;
        }
        let says = air::summary(report, self.reader);
        let named = |label: &str, points: &[(f64, f64)]| -> Vec<Vec<Datum>> {
            points
                .iter()
                .map(|(q, p)| {
                    vec![
                        Datum::Text(label.into()),
                        number(self.reader.value(Kind::Airflow, *q)),
                        number(self.reader.value(Kind::Pressure, *p)),
                    ]
                })
                .collect()
        };
        let mut rows = Vec::new();
        for fan in &report.fans {
            rows.extend(named(&fan.label, &fan.stable));
            rows.extend(named(&format!("{}, unstable part", fan.label), &fan.unstable));
        }
        report.systems.iter().for_each(|system| rows.extend(named(&system.label, &system.points)));
        rows.extend(report.points.iter().flat_map(|p| {
            named(&format!("working point, {} full", p.fill), &[(p.airflow_m3_s, p.static_pressure_pa)])
        }));
        Some(Figure {
            name: "What the fans can do and what the grain asks for".into(),
            scene: air::scene(report, self.reader, Form::Wide),
            says,
            behind: vec![Series {
                name: "curves".into(),
                columns: vec![
                    "curve".into(),
                    self.reader.axis("airflow", Kind::Airflow),
                    self.reader.axis("static pressure", Kind::Pressure),
                ],
                rows,
            }],
        })
    }

    /// Mean moisture, spread over the years.
    pub fn bands(&self) -> Option<Figure> {
        let report = &self.data.years;
        let bands = report.bands.as_ref().filter(|bands| bands.days.len() > 1)?;
        let first = report.rows.first().map_or(2001, |row| row.year);
        let moisture =
            |v: Option<&f64>| number(self.reader.value(Kind::MoistureWetBasis, v.copied().unwrap_or(f64::NAN)));
        let mut columns = vec!["date (first year’s)".to_string(), self.reader.axis("median", Kind::MoistureWetBasis)];
        for band in &bands.bands {
            columns.push(format!("{}, from", band.label));
            columns.push(format!("{}, to", band.label));
        }
        let rows = bands
            .days
            .iter()
            .enumerate()
            .map(|(i, day)| {
                let mut row = vec![date(first, *day), moisture(bands.median_wb.get(i))];
                for band in &bands.bands {
                    row.extend([moisture(band.low_wb.get(i)), moisture(band.high_wb.get(i))]);
                }
                row
            })
            .collect();
        Some(Figure {
            name: "Mean moisture, spread over the years".into(),
            says: years::band_summary(report, bands, self.reader),
            scene: years::band_plot(report, bands, self.reader, Form::Wide),
            behind: vec![Series { name: "moisture, spread".into(), columns, rows }],
        })
    }

    /// Mean moisture, one line a year.
    pub fn lines(&self) -> Option<Figure> {
        let report = &self.data.years;
        if !report.lines.iter().any(|line| line.points.len() > 1) {
            return None;
        }
        let rows = report
            .lines
            .iter()
            .flat_map(|line| {
                line.points.iter().map(|(day, m)| {
                    vec![
                        number(f64::from(line.year)),
                        date(line.year, *day),
                        number(self.reader.value(Kind::MoistureWetBasis, *m)),
                    ]
                })
            })
            .collect();
        Some(Figure {
            name: "Mean moisture, one line a year".into(),
            says: format!(
                "{} Thin lines: met; dashed: held; heavy, with the year at its end: failed.",
                years::line_summary(report, self.reader)
            ),
            scene: years::lines(report, self.reader, Form::Wide),
            behind: vec![Series {
                name: "moisture by year".into(),
                columns: vec!["year".into(), "date".into(), self.reader.axis("mean moisture", Kind::MoistureWetBasis)],
                rows,
            }],
        })
    }

    /// When the bin is finished, one mark a year.
    pub fn finishes(&self) -> Option<Figure> {
        let report = &self.data.years;
        if report.rows.is_empty() {
            return None;
        }
        Some(Figure {
            name: "When the bin is finished, one mark a year".into(),
            says: years::finish_summary(&report.rows),
            scene: years::finishes(report, Form::Wide),
            behind: vec![Series {
                name: "finished".into(),
                columns: vec!["year".into(), "outcome".into(), "finished".into()],
                rows: report
                    .rows
                    .iter()
                    .map(|row| {
                        vec![
                            number(f64::from(row.year)),
                            Datum::Text(row.outcome.word().into()),
                            date(row.year, row.finish_day),
                        ]
                    })
                    .collect(),
            }],
        })
    }

    /// Load of the motors against the outdoor temperature.
    pub fn motor_load(&self) -> Option<Figure> {
        let power = self.of.dossier.heat.bins.get(self.place())?.power.as_ref()?;
        let points: Vec<(f64, f64)> = power
            .by_temperature
            .iter()
            .map(|a| (self.reader.value(Kind::Temperature, a.temperature), 100.0 * a.load))
            .collect();
        if points.len() < 2 {
            return None;
        }
        let name = "Load of the most loaded motor against the outdoor temperature";
        let mut plot = line(
            name,
            (self.reader.axis("outdoor temperature", Kind::Temperature), "load, % of rating".into()),
            &points,
            &[100.0],
        );
        // Low, so that the sheet keeps to its page.
        plot.height = 190.0;
        plot.describe = "Cold air is dense and loads a motor more. Dashed: its rating.".into();
        plot.marks.push(Mark::Level { at: 100.0, label: "rating".into(), dash: Dash::Long });
        let rows = power
            .by_temperature
            .iter()
            .map(|a| {
                vec![
                    number(self.reader.value(Kind::Temperature, a.temperature)),
                    number(self.reader.value(Kind::Density, a.density)),
                    number(100.0 * a.load),
                    number(self.reader.value(Kind::ShaftPower, a.shaft)),
                    number(self.reader.value(Kind::ElectricPower, a.input)),
                    number(a.current.unwrap_or(f64::NAN)),
                ]
            })
            .collect();
        Some(Figure {
            name: name.into(),
            says: plot.describe.clone(),
            scene: plot.scene(),
            behind: vec![Series {
                name: "motor load".into(),
                columns: vec![
                    self.reader.axis("outdoor temperature", Kind::Temperature),
                    self.reader.axis("air density", Kind::Density),
                    "load, % of rating".into(),
                    self.reader.axis("all shafts", Kind::ShaftPower),
                    self.reader.axis("all inputs", Kind::ElectricPower),
                    "running current, A".into(),
                ],
                rows,
            }],
        })
    }

    /// Heat wanted of the burner, week by week since the first load.
    pub fn weekly_heat(&self) -> Option<Figure> {
        let duty = self.of.dossier.heat.bins.get(self.place())?.duty.as_ref()?;
        let heat = |v: f64| self.reader.value(Kind::HeatRate, v);
        let of = |pick: fn(&advice::heat::duty::WeekHeat) -> f64| -> Vec<(f64, f64)> {
            duty.weeks.iter().map(|week| (week.day / 7.0 + 1.0, heat(pick(week)))).collect()
        };
        let (mean, most) = (of(|w| w.mean), of(|w| w.largest));
        if mean.len() < 2 {
            return None;
        }
        let name = "Heat wanted of the burner, by weeks since the first load";
        let mut plot = line(
            name,
            ("week".into(), self.reader.axis("heat to the air", Kind::HeatRate)),
            &most,
            &[0.0, heat(duty.installed)],
        );
        plot.marks.push(Mark::Line {
            points: mean.clone(),
            stroke: Stroke::solid(BLUE, 1.8).dashed(Dash::Long),
            label: Some(Label::right("mean")),
        });
        plot.marks.push(Mark::Level { at: heat(duty.installed), label: "burner gives".into(), dash: Dash::DashDot });
        plot.describe = "Solid: the largest hour of all years; dashed: the mean, hours without any counted.".into();
        let rows = duty
            .weeks
            .iter()
            .map(|w| {
                vec![
                    number(w.day / 7.0 + 1.0),
                    number(self.reader.value(Kind::Temperature, w.outside)),
                    number(heat(w.mean)),
                    number(heat(w.ninetieth)),
                    number(heat(w.largest)),
                ]
            })
            .collect();
        Some(Figure {
            name: name.into(),
            says: plot.describe.clone(),
            scene: plot.scene(),
            behind: vec![Series {
                name: "weekly heat".into(),
                columns: vec![
                    "week".into(),
                    self.reader.axis("mean outdoor temperature", Kind::Temperature),
                    self.reader.axis("mean heat", Kind::HeatRate),
                    self.reader.axis("nine hours in ten below", Kind::HeatRate),
                    self.reader.axis("largest hour", Kind::HeatRate),
                ],
                rows,
            }],
        })
    }

    /// Expected static pressure against depth, with the band of a reading.
    pub fn expected_pressure(&self) -> Option<Figure> {
        let sheet = &self.of.dossier.expected;
        let (depth, pressure) =
            (|m: f64| self.reader.value(Kind::Length, m), |pa: f64| self.reader.value(Kind::Pressure, pa));
        let middle = advice::commission::table::OUTDOOR[2];
        let found: Vec<(f64, f64, f64)> = sheet
            .points
            .iter()
            .filter(|p| p.outdoor == middle)
            .filter_map(|p| p.pressure.map(|band| (depth(p.depth), pressure(band.value), pressure(band.half))))
            .collect();
        if found.len() < 2 {
            return None;
        }
        let points: Vec<(f64, f64)> = found.iter().map(|(x, y, _)| (*x, *y)).collect();
        let highest = found.iter().map(|(_, y, half)| y + half).fold(0.0, f64::max);
        let name = "Static pressure to expect, by depth of grain";
        let mut plot = line(
            name,
            (
                self.reader.axis("depth of level grain", Kind::Length),
                self.reader.axis("static pressure", Kind::Pressure),
            ),
            &points,
            &[0.0, highest],
        );
        plot.x.low = 0.0;
        plot.marks.insert(
            0,
            Mark::Band {
                x: found.iter().map(|f| f.0).collect(),
                low: found.iter().map(|f| (f.1 - f.2).max(0.0)).collect(),
                high: found.iter().map(|f| f.1 + f.2).collect(),
                colour: crate::colour::GRID,
                label: None,
            },
        );
        plot.marks.push(Mark::Points {
            points: points.clone(),
            shape: Shape::Ring,
            size: 8.0,
            names: found.iter().map(|f| format!("{:.1}", f.0)).collect(),
        });
        plot.describe = format!(
            "At {} outdoors, all fans running. Grey: the band within which a sound bin reads. Mark every reading of the years here.",
            self.show(Kind::Temperature, middle)
        );
        Some(Figure {
            name: name.into(),
            says: plot.describe.clone(),
            scene: plot.scene(),
            behind: vec![Series {
                name: "expected pressure".into(),
                columns: vec![
                    self.reader.axis("depth", Kind::Length),
                    self.reader.axis("static pressure", Kind::Pressure),
                    "may differ by".into(),
                ],
                rows: found.iter().map(|f| vec![number(f.0), number(f.1), number(f.2)]).collect(),
            }],
        })
    }

    /// Number of the bin in its site.
    pub fn place(&self) -> usize {
        self.of.job.bins.iter().position(|bin| bin.name == self.of.bin.name).unwrap_or(0)
    }
}

/// A plot of one line, its upright axis wide enough for some values more.
fn line(name: &str, (across, up): (String, String), points: &[(f64, f64)], more: &[f64]) -> Plot {
    let (low, high) = around(points.iter().map(|p| p.0), 6);
    let (bottom, top) = around(points.iter().map(|p| p.1).chain(more.iter().copied()), 5);
    let mut plot =
        Plot::new(name, Form::Wide.width(), 240.0, Axis::numbers(across, low, high), Axis::numbers(up, bottom, top));
    plot.marks.push(Mark::Line { points: points.to_vec(), stroke: Stroke::solid(INK, 2.2), label: None });
    plot
}

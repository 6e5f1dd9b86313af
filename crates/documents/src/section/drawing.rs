//! The section itself.

use super::{BinSection, ColumnDrawing, GrainDrawing, sheet};
use crate::{
    colour::{INK, PAPER, SOFT, Scale},
    raster,
    report::{GoalState, TitleBlock},
    scene::{Anchor, Dash, Fill, Item, Scene, Stroke, Text},
    shown::{Form, Reader, extremes, hues, sentence},
    ticks,
};
use notice::Kind;
use sheet::{SIZE, THICK, THIN, across, balloon, line, up};

/// Where metres lie on the sheet.
struct View {
    axis: f64,
    ground: f64,
    scale: f64,
}

impl View {
    fn x(&self, metres: f64) -> f64 {
        self.axis + metres * self.scale
    }

    fn y(&self, metres: f64) -> f64 {
        self.ground - metres * self.scale
    }
}

/// Room beside the bin on the sheet: fans at the left, dimensions at the right, ground and scale below.
const LEFT: f64 = 92.0;
const RIGHT: f64 = 66.0;
const ABOVE: f64 = 30.0;
const BELOW: f64 = 66.0;

/// Draws the section with its dimensions, notes and title block; one scale across and up. A bin whose measures are no
/// positive numbers is not drawn, and the sheet says so.
pub fn draw(bin: &BinSection, title: &TitleBlock, goal: GoalState, reader: Reader, form: Form) -> Scene {
    let narrow = form == Form::Narrow;
    let width = form.width();
    let (area, most) = if narrow { (width, 420.0) } else { (450.0, 560.0) };
    let measures = [bin.diameter_m, bin.eave_m];
    let drawn = measures.iter().all(|m| m.is_finite() && (1e-3..=1e4).contains(m));
    let scale =
        if drawn { ((area - LEFT - RIGHT) / bin.diameter_m).min((most - ABOVE - BELOW) / tall(bin)) } else { 0.0 };
    let high = if drawn { tall(bin) * scale + ABOVE + BELOW } else { 60.0 };
    // What stands beside the drawing (or under it), from its top.
    let notes = notes(bin, reader);
    let side_width = if narrow { width - 12.0 } else { width - 472.0 };
    let x = if narrow { 6.0 } else { 464.0 };
    let mut side = Vec::new();
    let mut y = if narrow { high + 4.0 } else { 10.0 };
    if let Some(grain) = bin.grain.as_ref().filter(|_| drawn) {
        y = colour_key(&mut side, grain, reader, x, y, side_width);
    }
    let written: Vec<(String, String)> = notes.iter().map(|note| (note.sign.clone(), note.text.clone())).collect();
    y = sheet::notes(&mut side, &written, x, y + 22.0, side_width);
    let mut rows = vec![("SITE", title.site.clone()), ("BIN", title.bin.clone()), ("LOT", title.lot.clone())];
    rows.extend([("OUTFIT", title.outfit.clone()), ("VERDICT", goal.text().to_string())]);
    rows.push(("DATE", title.date.clone()));
    rows.extend(title.marks.iter().map(|mark| ("MARK", mark.text().to_string())));
    let block = sheet::title_rows(rows, side_width);
    let height = if narrow { y + block.height() + 8.0 } else { high.max(y + block.height() + 8.0) };
    block.draw(&mut side, x, height - block.height() - 8.0);

    let frame = Some(Stroke::solid(INK, 1.2));
    let (w, h) = (width - 2.0, height - 2.0);
    let mut items = vec![Item::Rect { x: 1.0, y: 1.0, width: w, height: h, stroke: frame, fill: Fill::None }];
    if drawn {
        let spare = area - LEFT - RIGHT - bin.diameter_m * scale;
        let axis = LEFT + 0.5 * spare + 0.5 * bin.diameter_m * scale;
        let foot = if narrow { high } else { height - 0.5 * (height - high) };
        draw_bin(&mut items, bin, reader, &View { axis, ground: foot - BELOW, scale }, area, &notes);
    } else {
        items.push(Text::new(12.0, 30.0, "no section: the measures of the bin are not known", SIZE).item());
    }
    items.extend(side);
    Scene { width, height, title: format!("Section of {}", title.bin), describe: describe(bin, reader), items }
}

/// What the section shows, in words.
fn describe(bin: &BinSection, reader: Reader) -> String {
    let length = |m| reader.text(Kind::Length, m);
    let mut text = format!(
        "Section through the bin, {} across and {} from floor to eave, floor {} above ground, {} at the plenum.",
        length(bin.diameter_m),
        length(bin.eave_m - floor_height(bin)),
        length(bin.floor_m),
        match bin.fans.len() {
            0 => "no fan".to_string(),
            1 => "one fan".to_string(),
            n => format!("{n} fans"),
        }
    );
    if let Some(grain) = &bin.grain {
        let depth = grain.columns.iter().map(depth).fold(0.0, f64::max);
        text.push_str(&format!(" Grain {} deep at the wall", length(depth)));
        if let Some((low, high)) = value_range(grain) {
            let (low, high) = (reader.text(grain.kind, low), reader.text(grain.kind, high));
            text.push_str(&format!("; {} from {low} to {high}", grain.what));
        }
        text = sentence(&text);
    }
    text
}

fn depth(column: &ColumnDrawing) -> f64 {
    column.layers.iter().map(|(thickness, _)| thickness).filter(|t| t.is_finite() && **t > 0.0).sum()
}

fn value_range(grain: &GrainDrawing) -> Option<(f64, f64)> {
    extremes(grain.columns.iter().flat_map(|c| c.layers.iter().map(|(_, value)| *value)))
}

/// Height of the perforated floor above ground, m, below the eave.
fn floor_height(bin: &BinSection) -> f64 {
    if bin.floor_m.is_finite() { bin.floor_m.min(bin.eave_m).max(0.0) } else { 0.0 }
}

/// Height of the whole bin, m.
fn tall(bin: &BinSection) -> f64 {
    bin.eave_m + if bin.roof_rise_m.is_finite() { bin.roof_rise_m.clamp(0.0, bin.diameter_m) } else { 0.0 }
}

/// A note, its sign, and the place on the drawing it belongs to.
struct Note {
    sign: String,
    text: String,
    at: Spot,
}

#[derive(Clone, Copy, PartialEq)]
enum Spot {
    Fan,
    Burner,
    Floor,
    Vents,
    Column,
}

/// Letters of the columns, from the axis outwards.
fn letter(column: usize) -> String {
    char::from(b'a' + (column % 26) as u8).to_string()
}

fn notes(bin: &BinSection, reader: Reader) -> Vec<Note> {
    let mut notes: Vec<Note> = Vec::new();
    let mut add = |text: String, at| {
        let sign = (notes.len() + 1).to_string();
        notes.push(Note { sign, text, at });
    };
    let fans: Vec<&str> = bin.fans.iter().map(|fan| fan.label.as_str()).collect();
    match fans.as_slice() {
        [] => {}
        [one] => add(format!("fan: {one}"), Spot::Fan),
        [first, rest @ ..] if rest.iter().all(|name| name == first) => {
            add(format!("{} fans {first}, one drawn", fans.len()), Spot::Fan);
        }
        many => add(format!("{} fans, one drawn: {}", many.len(), many.join("; ")), Spot::Fan),
    }
    if let Some(after) = bin.fans.iter().find_map(|fan| fan.burner_after_fan) {
        let text = if after { "burner between fan and plenum" } else { "burner at the inlet of the fan" };
        add(text.into(), Spot::Burner);
    }
    if !bin.floor.is_empty() {
        add(bin.floor.clone(), Spot::Floor);
    }
    if !bin.vents.is_empty() {
        add(bin.vents.clone(), Spot::Vents);
    }
    let columns = bin.grain.iter().filter(|grain| grain.columns.len() > 1);
    for (grain, (i, column)) in columns.flat_map(|g| g.columns.iter().enumerate().map(move |c| (g, c))) {
        let mean = column_mean(column).map_or(String::new(), |v| format!(", mean {}", reader.text(grain.kind, v)));
        let text = format!("column: {}{mean}", column.name);
        notes.push(Note { sign: letter(i), text, at: Spot::Column });
    }
    notes
}

fn draw_bin(items: &mut Vec<Item>, bin: &BinSection, reader: Reader, view: &View, area: f64, notes: &[Note]) {
    let scale = view.scale;
    let tall = tall(bin);
    let radius = 0.5 * bin.diameter_m;
    let floor = floor_height(bin);
    let wall = |side: f64| view.x(side * radius);

    // Ground.
    let (x0, x1) = (10.0, area - 10.0);
    items.push(Item::Rect { x: x0, y: view.ground, width: x1 - x0, height: 10.0, stroke: None, fill: Fill::Dots });
    items.push(line(vec![(x0, view.ground), (x1, view.ground)], THIN));

    let surface = bin.grain.as_ref().map(|grain| draw_grain(items, grain, view, floor, bin));

    // Walls, roof, cap, floor.
    let cap = 0.06 * bin.diameter_m;
    for side in [-1.0, 1.0] {
        items.push(line(vec![(wall(side), view.ground), (wall(side), view.y(bin.eave_m))], THICK));
        items.push(line(
            vec![(view.x(side * radius * 1.03), view.y(bin.eave_m)), (view.x(side * cap), view.y(tall))],
            THICK,
        ));
    }
    items.push(line(vec![(view.x(-cap), view.y(tall)), (view.x(cap), view.y(tall))], THICK));
    if floor > 0.0 {
        let y = view.y(floor);
        items.push(line(vec![(wall(-1.0), y), (wall(1.0), y)], Stroke::solid(INK, 2.6).dashed(Dash::Short)));
    }
    items.push(line(vec![(view.axis, view.y(tall) - 12.0), (view.axis, view.ground + 12.0)], sheet::CENTRE));

    // Fan and burner, by sign, not by size.
    let plenum = view.y(0.5 * floor.max(0.3 / 1.0f64.max(scale / 20.0))).min(view.ground - 9.0);
    let burner = bin.fans.iter().find_map(|fan| fan.burner_after_fan);
    let fan_at = (wall(-1.0) - 42.0, plenum - 3.0);
    let burner_at = match burner {
        Some(true) => (wall(-1.0) - 16.0, plenum),
        _ => (wall(-1.0) - 66.0, plenum),
    };
    if !bin.fans.is_empty() {
        let duct = vec![
            (fan_at.0, plenum - 6.0),
            (wall(-1.0), plenum - 6.0),
            (wall(-1.0), plenum + 6.0),
            (fan_at.0, plenum + 6.0),
        ];
        items.push(Item::Path { points: duct, closed: true, stroke: Some(THIN), fill: Fill::Solid(PAPER) });
        items.push(Item::Circle {
            x: fan_at.0,
            y: fan_at.1,
            radius: 13.0,
            stroke: Some(THICK),
            fill: Fill::Solid(PAPER),
        });
        for turn in 0..3 {
            let angle = f64::from(turn) * std::f64::consts::TAU / 3.0 + 0.5;
            let tip = (fan_at.0 + 10.0 * angle.cos(), fan_at.1 + 10.0 * angle.sin());
            items.push(line(vec![fan_at, tip], THICK));
        }
        if burner.is_some() {
            let (x, y) = burner_at;
            items.push(Item::Rect {
                x: x - 8.0,
                y: y - 9.0,
                width: 16.0,
                height: 18.0,
                stroke: Some(THIN),
                fill: Fill::Solid(PAPER),
            });
            items.push(line(
                vec![(x - 5.0, y + 5.0), (x - 2.0, y - 5.0), (x, y + 1.0), (x + 3.0, y - 6.0), (x + 5.0, y + 5.0)],
                THIN,
            ));
        }
    }

    // Dimensions.
    let length = |m: f64| reader.text(Kind::Length, m);
    items.extend(across(wall(-1.0), wall(1.0), view.ground + 30.0, &format!("{} dia.", length(bin.diameter_m))));
    for side in [-1.0, 1.0] {
        items.push(line(
            vec![(wall(side), view.ground + 12.0), (wall(side), view.ground + 34.0)],
            Stroke::solid(SOFT, 0.6),
        ));
    }
    // A survey gives the wall from the floor up, as depths are.
    items.extend(up(wall(1.0) + 4.0, wall(1.0) + 50.0, view.y(floor), view.y(bin.eave_m), &length(bin.eave_m - floor)));
    if let Some(top) = surface.filter(|top| *top > floor) {
        items.extend(up(wall(1.0) + 2.0, wall(1.0) + 24.0, view.y(floor), view.y(top), &length(top - floor)));
    }

    // Balloons.
    for note in notes {
        let (at, to) = match note.at {
            Spot::Fan => ((fan_at.0 - 14.0, fan_at.1 - 44.0), (fan_at.0 - 4.0, fan_at.1 - 10.0)),
            Spot::Burner => ((burner_at.0 - 6.0, burner_at.1 - 76.0), (burner_at.0, burner_at.1 - 7.0)),
            Spot::Floor => ((view.x(0.72 * radius), view.ground + 47.0), (view.x(0.65 * radius), view.y(floor))),
            Spot::Vents => {
                let rise = bin.eave_m + 0.5 * (tall - bin.eave_m);
                let y = (view.y(rise) - 28.0).max(14.0);
                ((view.x(0.5 * radius) + 44.0, y), (view.x(0.52 * radius), view.y(rise)))
            }
            Spot::Column => continue,
        };
        items.extend(balloon(&note.sign, at, to));
    }

    let field = scale_field(bin.diameter_m, reader);
    let decimals = if field.shown < 1.0 { 2 } else { 0 };
    let label = |share: f64| ticks::number(field.shown * share, decimals);
    let last = format!("{} {}", label(2.0), Kind::Length.shown(reader.0).unit);
    sheet::scale_bar(items, 18.0, view.ground + 38.0, field.metres * scale, [label(0.0), label(1.0), last]);
}

/// One field of the scale bar.
struct ScaleField {
    /// Length in the reader's unit, a round number.
    shown: f64,
    /// The same length in metres.
    metres: f64,
}

/// A round length between about an eighth and a third of the diameter.
fn scale_field(diameter_m: f64, reader: Reader) -> ScaleField {
    let per_metre = reader.value(Kind::Length, 1.0);
    let shown = ticks::step(0.12 * diameter_m * per_metre, 1);
    ScaleField { shown, metres: shown / per_metre }
}

/// Draws the grain; returns the height of its surface at the wall, m.
fn draw_grain(items: &mut Vec<Item>, grain: &GrainDrawing, view: &View, floor: f64, bin: &BinSection) -> f64 {
    let radius = 0.5 * bin.diameter_m;
    let (low, high) = grain.range.or_else(|| value_range(grain)).unwrap_or((0.0, 1.0));
    let scale = Scale::new(hues(grain.kind));
    let fill = |value: f64| {
        scale
            .at(if high > low { (value - low) / (high - low) } else { value * 0.0 + 0.5 })
            .map_or(Fill::Hatch, Fill::Solid)
    };
    let mut inside = 0.0;
    let mut surface: f64 = floor;
    let mut letters = Vec::new();
    for (i, column) in grain.columns.iter().enumerate() {
        let outer = if column.outer.is_finite() { (column.outer.min(1.0) * radius).max(inside) } else { inside };
        let mut bottom = floor;
        for (thickness, value) in column.layers.iter().filter(|(t, _)| t.is_finite() && *t > 0.0) {
            for side in [-1.0, 1.0] {
                let (a, b) = (view.x(side * inside), view.x(side * outer));
                // An overlap upwards, covered by the next layer, so that no paper shows between layers.
                let (y, height) = (view.y(bottom + thickness) - 0.8, thickness * view.scale + 0.8);
                items.push(Item::Rect {
                    x: a.min(b),
                    y,
                    width: (b - a).abs(),
                    height,
                    stroke: None,
                    fill: fill(*value),
                });
            }
            bottom += thickness;
        }
        surface = surface.max(bottom);
        if inside > 0.0 {
            for x in [view.x(-inside), view.x(inside)] {
                items.push(line(vec![(x, view.y(floor)), (x, view.y(bottom))], Stroke::solid(PAPER, 2.0)));
                items.push(line(vec![(x, view.y(floor)), (x, view.y(bottom))], THIN.dashed(Dash::Long)));
            }
        }
        letters.push((0.5 * (inside + outer), letter(i), view.y(0.5 * (floor + bottom))));
        inside = outer;
    }
    let peak = if grain.peak_m.is_finite() { grain.peak_m.clamp(0.0, (tall(bin) - surface).max(0.0)) } else { 0.0 };
    let top = [(-radius, surface), (0.0, surface + peak), (radius, surface)].map(|(x, m)| (view.x(x), view.y(m)));
    if peak > 0.0 {
        let last = grain.columns.first().and_then(|c| c.layers.last()).map_or(f64::NAN, |layer| layer.1);
        items.push(Item::Path { points: top.to_vec(), closed: true, stroke: None, fill: fill(last) });
    }
    items.push(line(top.to_vec(), Stroke::solid(INK, 1.6)));
    if letters.len() > 1 {
        for (across, letter, y) in letters {
            items.push(Item::Circle {
                x: view.x(across),
                y: y - 4.0,
                radius: 8.5,
                stroke: Some(THIN),
                fill: Fill::Solid(PAPER),
            });
            items.push(Text::new(view.x(across), y, letter, SIZE).anchor(Anchor::Middle).item());
        }
    }
    surface
}

fn column_mean(column: &ColumnDrawing) -> Option<f64> {
    let usable = column.layers.iter().filter(|(t, v)| t.is_finite() && *t > 0.0 && v.is_finite());
    let (sum, depth) = usable.fold((0.0, 0.0), |(s, d), (t, v)| (s + t * v, d + t));
    (depth > 0.0).then(|| sum / depth)
}

/// The colours of the grain; returns where it ends.
fn colour_key(items: &mut Vec<Item>, grain: &GrainDrawing, reader: Reader, x: f64, y: f64, width: f64) -> f64 {
    let Some((low, high)) = grain.range.or_else(|| value_range(grain)) else { return y };
    let mut y = y;
    for text in crate::scene::wrap(&reader.axis(&grain.what, grain.kind), SIZE, width, 2) {
        y += 12.0;
        items.push(Text::new(x, y, text, SIZE).colour(SOFT).item());
        y += 3.0;
    }
    let (bar, y) = (width.min(220.0), y + 5.0);
    let scale = Scale::new(hues(grain.kind));
    let colours: Vec<_> = scale.steps().iter().copied().map(Some).collect();
    if let Some(address) = raster::data_address(colours.len(), 1, &colours) {
        items.push(Item::Image { x, y, width: bar, height: 11.0, address });
    }
    items.push(Item::Rect { x, y, width: bar, height: 11.0, stroke: Some(THIN), fill: Fill::None });
    let (low, high) = (reader.value(grain.kind, low), reader.value(grain.kind, high));
    for tick in ticks::ticks(ticks::Division::Numbers, low, high, 4) {
        let at = x + bar * (tick.at - low) / (high - low);
        items.push(line(vec![(at, y + 11.0), (at, y + 14.0)], THIN));
        items.push(Text::new(at.max(x + 8.0), y + 26.0, tick.label, 11.0).anchor(Anchor::Middle).item());
    }
    y + 28.0
}

#[cfg(test)]
mod tests;

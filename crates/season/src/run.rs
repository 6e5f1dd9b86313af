//! Cases side by side, tick by tick; a finished lane is handed out and filled again from the queue.

use crate::lane::Lane;
use crate::result::SeasonResult;
use crate::spec::{CaseSpec, Load};
use bed::{Air, Block, Exhaust, GroupParams};
use numerics::{InstructionSet, WIDTH};
use std::sync::Arc;

/// What to keep of a run besides its end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Record {
    /// The end only.
    Summary,
    /// Day by day.
    Daily,
    /// Day by day with all layers.
    Profiles,
    /// Everything, tick by tick.
    Everything,
}

/// What a tick drew from the service and the tank of a farm.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Draw {
    /// Seconds since 1970-01-01T00:00Z at its start.
    pub second: i64,
    /// Its length, s.
    pub seconds: f64,
    /// Electric power of fans, electric heat and stirring, W.
    pub electric: f64,
    /// Fuel, kg/s.
    pub fuel: f64,
    /// Fans running.
    pub fans: usize,
}

/// What can be seen of a bin when a load waits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BinState {
    /// Dry matter that has come in, kg.
    pub dry_matter: f64,
    /// Storage life used by the worst tenth of the worst column, strict reading; 0 where the crop has no relation.
    pub life: f64,
    /// Reading of the wettest tenth, d.b.; 0 in an empty bin.
    pub wettest: f64,
    /// What the bin is doing.
    pub phase: equipment::Phase,
}

/// What must be alike for cases to share lanes.
#[derive(Debug, Clone, PartialEq)]
pub struct LaneKey {
    /// Grain groups of the bed.
    pub group: GroupParams,
    /// Columns a case.
    pub columns: usize,
}

impl LaneKey {
    /// The key of a case.
    pub fn of(spec: &CaseSpec) -> Self {
        Self { group: spec.grain.group.clone(), columns: spec.bin.columns.len() }
    }
}

/// Up to sixteen cases of one key, each with its own clock, weather and control.
#[derive(Debug, Clone)]
pub struct Lanes {
    key: LaneKey,
    record: Record,
    /// One block for each column of a case: lane i of every block belongs to case i.
    blocks: Vec<Block>,
    lanes: [Option<Lane>; WIDTH],
    air: Vec<Air>,
    exhausts: Vec<Exhaust>,
}

impl Lanes {
    /// Empty lanes for cases like this one.
    pub fn new(spec: &CaseSpec, record: Record) -> Self {
        Self::on(InstructionSet::detect(), spec, record)
    }

    /// The same on a chosen instruction set (results do not depend on it).
    pub fn on(set: InstructionSet, spec: &CaseSpec, record: Record) -> Self {
        let key = LaneKey::of(spec);
        let block = Block::on(set, key.group.clone(), &spec.grain.column);
        Self {
            blocks: vec![block; key.columns],
            air: vec![Air::default(); key.columns],
            exhausts: vec![Exhaust::default(); key.columns],
            lanes: std::array::from_fn(|_| None),
            key,
            record,
        }
    }

    /// What cases must share.
    pub fn key(&self) -> &LaneKey {
        &self.key
    }

    /// How many lanes cost about as much as one: all on AVX-512, a group of eight elsewhere.
    pub fn worth_filling(&self) -> usize {
        self.blocks.first().map_or(WIDTH, Block::worth_filling)
    }

    /// The first lane without a case.
    pub fn free(&self) -> Option<usize> {
        self.lanes.iter().position(Option::is_none)
    }

    /// Whether any case is under way.
    pub fn busy(&self) -> bool {
        self.lanes.iter().any(Option::is_some)
    }

    /// Puts a case into a free lane under a number of the caller's.
    ///
    /// # Panics
    /// When the case has another key than these lanes: a fault of the caller.
    pub fn start(&mut self, lane: usize, number: usize, spec: Arc<CaseSpec>) {
        assert!(LaneKey::of(&spec) == self.key, "cases of one group share their key");
        for block in &mut self.blocks {
            block.empty(lane, &spec.grain.column);
        }
        self.lanes[lane] = Some(Lane::new(number, spec, self.record));
    }

    /// Puts a bin of a farm into the first lane.
    fn await_loads(&mut self, plan: &Arc<CaseSpec>, first: i64) {
        self.lanes[0] = Some(Lane::awaiting(0, Arc::clone(plan), self.record, first));
    }

    fn first_mut(&mut self) -> Option<&mut Lane> {
        self.lanes[0].as_mut()
    }

    fn state_of_first(&self) -> Option<BinState> {
        self.lanes[0].as_ref().map(|lane| lane.state(0, &self.blocks))
    }

    /// One tick of the first lane: what it drew, and its result at its end.
    fn tick_first(&mut self) -> (Draw, Option<SeasonResult>) {
        let mut drew = Draw::default();
        let ended = self.tick_seeing(|lane, case| {
            if lane == 0 {
                drew = case.drew();
            }
        });
        (drew, ended.into_iter().next().map(|(_, result)| result))
    }

    /// Takes a case out before its end (cancelled work).
    pub fn drop_case(&mut self, lane: usize) {
        self.lanes[lane] = None;
        for air in &mut self.air {
            air.seconds[lane] = 0.0;
        }
    }

    /// Carries every case one tick forward and hands out those that reached their end.
    pub fn tick(&mut self) -> Vec<(usize, SeasonResult)> {
        self.tick_seeing(|_, _| {})
    }

    /// The same; every case is shown once it has moved.
    fn tick_seeing(&mut self, mut see: impl FnMut(usize, &Lane)) -> Vec<(usize, SeasonResult)> {
        for lane in 0..WIDTH {
            match &mut self.lanes[lane] {
                Some(case) => case.before(lane, &mut self.blocks, &mut self.air),
                None => self.air.iter_mut().for_each(|air| air.seconds[lane] = 0.0),
            }
        }
        for ((block, air), exhaust) in self.blocks.iter_mut().zip(&self.air).zip(&mut self.exhausts) {
            *exhaust = block.advance(air);
        }
        let mut finished = Vec::new();
        for lane in 0..WIDTH {
            let Some(case) = &mut self.lanes[lane] else { continue };
            let over = case.after(lane, &mut self.blocks, &self.exhausts);
            see(lane, case);
            if over {
                let case = self.lanes[lane].take().expect("the lane was just looked at");
                finished.push((case.number(), case.finish(lane, &self.blocks)));
            }
        }
        finished
    }

    /// Hour that a lane's case has reached, if there is one.
    pub fn hour(&self, lane: usize) -> Option<i64> {
        self.lanes[lane].as_ref().map(Lane::hour)
    }

    /// The layers of one column of a lane, from the floor up.
    pub fn layers(&self, lane: usize, column: usize) -> Vec<bed::LayerState> {
        self.blocks[column].layers(lane).collect()
    }
}

/// One case on its own: advanced to an hour, copied, looked at, advanced again.
#[derive(Debug, Clone)]
pub struct SeasonRun {
    lanes: Lanes,
    result: Option<SeasonResult>,
}

impl SeasonRun {
    /// A case before its first load.
    pub fn new(spec: &Arc<CaseSpec>, record: Record) -> Self {
        let mut lanes = Lanes::new(spec, record);
        lanes.start(0, 0, Arc::clone(spec));
        Self { lanes, result: None }
    }

    /// A bin of a farm before its first load, which comes at an hour: loads are sent with [`Self::take`] until
    /// [`Self::close`]. The loads of the case are the plan after which its layers are cut.
    pub fn awaiting(plan: &Arc<CaseSpec>, record: Record, first: i64) -> Self {
        let mut lanes = Lanes::new(plan, record);
        lanes.await_loads(plan, first);
        Self { lanes, result: None }
    }

    /// Sends a load. It must not come before the hour that the run has reached.
    pub fn take(&mut self, load: Load) {
        self.lanes.first_mut().into_iter().for_each(|lane| lane.take(load));
    }

    /// No further load comes.
    pub fn close(&mut self) {
        self.lanes.first_mut().into_iter().for_each(Lane::close);
    }

    /// Shuts the fuel of the burner off, or lets it flow again.
    pub fn cut_fuel(&mut self, cut: bool) {
        self.lanes.first_mut().into_iter().for_each(|lane| lane.cut_fuel(cut));
    }

    /// Runs until the given hour or the end and tells of every tick what it drew.
    pub fn advance_telling(&mut self, hour: i64, mut tell: impl FnMut(Draw)) {
        while self.result.is_none() && self.lanes.hour(0).is_some_and(|now| now < hour) {
            let (draw, ended) = self.lanes.tick_first();
            tell(draw);
            self.result = ended;
        }
    }

    /// What a farm sees of the bin now; `None` after its end.
    pub fn state(&self) -> Option<BinState> {
        self.lanes.state_of_first()
    }

    /// The result, where the end has come.
    pub fn ended(&self) -> Option<&SeasonResult> {
        self.result.as_ref()
    }

    /// Runs until the given hour (since 1970-01-01T00:00Z) or the end, whichever comes first.
    pub fn advance_to(&mut self, hour: i64) {
        while self.result.is_none() && self.lanes.hour(0).is_some_and(|now| now < hour) {
            self.result = self.lanes.tick().pop().map(|(_, result)| result);
        }
    }

    /// Runs to the end.
    pub fn finish(mut self) -> SeasonResult {
        self.advance_to(i64::MAX);
        self.result.expect("a season ends at its horizon")
    }

    /// A copy to come back to.
    pub fn snapshot(&self) -> Self {
        self.clone()
    }

    /// The layers of a column now.
    pub fn observe(&self, column: usize) -> Vec<bed::LayerState> {
        self.lanes.layers(0, column)
    }
}

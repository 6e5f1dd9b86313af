//! The same bits on any number of threads, in any company, on any instruction set, and after a copy is taken up again.

mod common;

use common::{Wish, corn};
use ensemble::{Batch, Engine, Observer, Priority, Silent};
use numerics::InstructionSet;
use season::{CaseSpec, Lanes, Record, SeasonResult, SeasonRun};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

fn cases(years: std::ops::Range<i32>) -> Vec<Arc<CaseSpec>> {
    years.map(|year| Arc::new(corn(&Wish::default(), year))).collect()
}

fn run(threads: usize, cases: Vec<Arc<CaseSpec>>) -> Vec<SeasonResult> {
    let engine = Engine::new(threads);
    let batch = Batch { cases, record: Record::Daily, priority: Priority::Ordinary, observer: Arc::new(Silent) };
    engine.run(batch).results.into_iter().map(|r| r.expect("nothing was cancelled")).collect()
}

/// `PartialEq` on floats would let −0 equal 0: the printed form of every number is compared instead.
fn same(a: &SeasonResult, b: &SeasonResult) -> bool {
    format!("{a:?}") == format!("{b:?}")
}

#[test]
fn threads_company_and_order_change_nothing() {
    let alone: Vec<SeasonResult> =
        cases(1996..2006).iter().map(|c| SeasonRun::new(c, Record::Daily).finish()).collect();
    for threads in [1, 2, 3] {
        let together = run(threads, cases(1996..2006));
        assert!(alone.iter().zip(&together).all(|(a, b)| same(a, b)), "{threads} threads");
    }
    let mut backwards = cases(1996..2006);
    backwards.reverse();
    let mut backwards = run(2, backwards);
    backwards.reverse();
    assert!(alone.iter().zip(&backwards).all(|(a, b)| same(a, b)));
}

#[test]
fn instruction_sets_change_nothing() {
    let case = Arc::new(corn(&Wish::default(), 2009));
    let results: Vec<String> = InstructionSet::available()
        .into_iter()
        .map(|set| {
            let mut lanes = Lanes::on(set, &case, Record::Daily);
            lanes.start(3, 0, Arc::clone(&case));
            loop {
                if let Some((_, result)) = lanes.tick().pop() {
                    return format!("{result:?}");
                }
            }
        })
        .collect();
    assert!(results.windows(2).all(|w| w[0] == w[1]));
}

#[test]
fn a_copy_taken_up_again_ends_the_same() {
    let case = Arc::new(corn(&Wish::default(), 2012));
    let whole = SeasonRun::new(&case, Record::Daily).finish();
    let mut run = SeasonRun::new(&case, Record::Daily);
    let start = case.loads[0].hour;
    for days in [3, 17, 60] {
        run.advance_to(start + days * 24);
        let copy = run.snapshot();
        assert!(same(&whole, &copy.finish()), "after {days} days");
    }
    assert!(same(&whole, &run.finish()));
}

/// Asks for the end after a few looks.
struct Impatient(AtomicUsize);

impl Observer for Impatient {
    fn cancelled(&self) -> bool {
        self.0.fetch_add(1, Ordering::Relaxed) >= 4
    }
}

#[test]
fn a_cancelled_batch_gives_what_is_known_and_the_engine_goes_on() {
    let engine = Engine::new(2);
    let batch = Batch {
        cases: cases(1996..2020),
        record: Record::Summary,
        priority: Priority::Ordinary,
        observer: Arc::new(Impatient(AtomicUsize::new(0))),
    };
    let outcome = engine.run(batch);
    assert!(outcome.cancelled);
    assert!(outcome.results.iter().flatten().count() < 24);
    let batch = Batch {
        cases: cases(2000..2001),
        record: Record::Summary,
        priority: Priority::Ordinary,
        observer: Arc::new(Silent),
    };
    assert!(engine.run(batch).results[0].is_some());
}

/// Counts finished cases of a long batch while an interactive one overtakes.
#[test]
fn interactive_work_overtakes_at_slice_ends() {
    let engine = Arc::new(Engine::new(1));
    let slow = {
        let engine = Arc::clone(&engine);
        std::thread::spawn(move || {
            let cases = (0..6).flat_map(|_| cases(1996..2020)).collect();
            let batch =
                Batch { cases, record: Record::Summary, priority: Priority::Background, observer: Arc::new(Silent) };
            engine.run(batch);
            Instant::now()
        })
    };
    std::thread::sleep(Duration::from_millis(20));
    let batch = Batch {
        cases: cases(2005..2006),
        record: Record::Summary,
        priority: Priority::Interactive,
        observer: Arc::new(Silent),
    };
    engine.run(batch);
    let interactive_done = Instant::now();
    let background_done = slow.join().expect("the background batch ends");
    assert!(interactive_done < background_done, "one case does not wait for a hundred and forty");
}

/// Two people drag at once: neither waits until the other is done.
#[test]
fn batches_of_one_priority_take_turns() {
    let engine = Arc::new(Engine::new(1));
    let ask = || {
        let engine = Arc::clone(&engine);
        std::thread::spawn(move || {
            let began = Instant::now();
            let batch = Batch {
                cases: cases(1996..2020),
                record: Record::Summary,
                priority: Priority::Interactive,
                observer: Arc::new(Silent),
            };
            engine.run(batch);
            (began, Instant::now())
        })
    };
    let (first, second) = (ask(), ask());
    let (first, second) = (first.join().expect("it ends"), second.join().expect("it ends"));
    let (begin, middle, end) = (first.0.min(second.0), first.1.min(second.1), first.1.max(second.1));
    // One after the other, the first would end half-way.
    let share = (middle - begin).as_secs_f64() / (end - begin).as_secs_f64();
    assert!(share > 0.7, "the first ended at {share:.2} of the whole");
}

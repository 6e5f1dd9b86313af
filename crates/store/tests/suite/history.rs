//! Random sequences of saves, undos, redos and restores against a model of two lines.

use proptest::{prelude::*, test_runner::TestRunner};
use store::{Head, Moment, Store, StoreError};

use super::id;

#[derive(Debug, Clone)]
enum Step {
    Save(u8),
    Undo,
    Redo,
    Restore(usize),
    /// With a head seen that many versions ago.
    Stale(usize),
}

fn step() -> impl Strategy<Value = Step> {
    prop_oneof![
        4 => (0u8..6).prop_map(Step::Save),
        4 => Just(Step::Undo),
        3 => Just(Step::Redo),
        1 => (0usize..40).prop_map(Step::Restore),
        1 => (0usize..40).prop_map(Step::Stale),
    ]
}

/// What an editor keeps: what lies behind, what stands, what was undone. Knows no parents, so that it is no copy of what it
/// checks.
struct Model {
    behind: Vec<Head>,
    stands: Head,
    undone: Vec<Head>,
    /// Every text in the order of its versions.
    texts: Vec<String>,
}

impl Model {
    fn push(&mut self, made: Head, text: String) {
        self.behind.push(self.stands);
        self.undone.clear();
        self.stands = made;
        self.texts.push(text);
    }
}

fn play(store: &dyn Store, steps: &[Step]) {
    let site = id("a");
    let first = store.create_site(&site, "a", "text 0", "", Moment(0)).unwrap();
    let mut model = Model { behind: vec![], stands: first.head, undone: vec![], texts: vec!["text 0".into()] };
    for (n, step) in steps.iter().enumerate() {
        let at = Moment(n as i64 + 1);
        let standing = model.texts[model.stands.seq as usize - 1].clone();
        match step {
            Step::Save(text) => {
                let text = format!("text {text}");
                let site = store.save(&site, &model.stands, &text, "", at).unwrap();
                if text == standing {
                    assert_eq!(site.head, model.stands);
                } else {
                    assert_eq!(site.head.seq as usize, model.texts.len() + 1);
                    model.push(site.head, text);
                }
            }
            Step::Restore(which) => {
                let seq = which % model.texts.len();
                let text = model.texts[seq].clone();
                let site = store.restore(&site, &model.stands, seq as u32 + 1, "", at).unwrap();
                if text == standing {
                    assert_eq!(site.head, model.stands);
                } else {
                    model.push(site.head, text);
                }
            }
            Step::Undo => match (store.undo(&site, &model.stands, at), model.behind.pop()) {
                (Ok(site), Some(before)) => {
                    assert_eq!(site.head, before);
                    model.undone.push(model.stands);
                    model.stands = before;
                }
                (Err(StoreError::NothingToUndo), None) => {}
                (outcome, before) => panic!("{outcome:?}, expected {before:?}"),
            },
            Step::Redo => match (store.redo(&site, &model.stands, at), model.undone.pop()) {
                (Ok(site), Some(next)) => {
                    assert_eq!(site.head, next);
                    model.behind.push(model.stands);
                    model.stands = next;
                }
                (Err(StoreError::NothingToRedo), None) => {}
                (outcome, next) => panic!("{outcome:?}, expected {next:?}"),
            },
            Step::Stale(ago) => {
                let seen = model.behind.iter().chain(&model.undone).nth(ago % (model.texts.len() + 1));
                if let Some(seen) = seen {
                    let refused = store.save(&site, seen, "never", "", at);
                    assert!(matches!(refused, Err(StoreError::Moved { current }) if current == model.stands));
                }
            }
        }
        let now = store.site(&site).unwrap();
        assert_eq!(now.head, model.stands);
        assert_eq!(now.text, model.texts[now.head.seq as usize - 1]);
        assert_eq!((now.can_undo, now.can_redo), (!model.behind.is_empty(), !model.undone.is_empty()));
    }
    assert_eq!(store.versions(&site).unwrap().len(), model.texts.len());
    for (n, text) in model.texts.iter().enumerate() {
        assert_eq!(store.version(&site, n as u32 + 1).unwrap().1, *text);
    }
    assert_eq!(store.check().unwrap(), Vec::<String>::new());
}

/// Head, texts, and whether one can go back and forward, after every step.
pub fn follows_its_model(make: &impl Fn() -> Box<dyn Store>) {
    let mut runner = TestRunner::new(ProptestConfig { cases: 48, failure_persistence: None, ..Default::default() });
    let steps = prop::collection::vec(step(), 1..40);
    let played = runner.run(&steps, |steps| {
        play(make().as_ref(), &steps);
        Ok(())
    });
    played.unwrap();
}

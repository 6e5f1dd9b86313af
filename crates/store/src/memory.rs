//! The store that lasts as long as the program: for tests, and for those who want nothing kept.

mod shelf;

use std::{
    collections::BTreeMap,
    sync::{Mutex, MutexGuard, PoisonError},
};

use crate::{
    ContentLine, ContentName, Digest, Head, Moment, PruneRuns, Pruned, Reading, ReadingLine, ReadingQuery, Run,
    RunLine, Site, SiteId, SiteLine, Store, StoreError, Thing, Version,
};
use shelf::Shelf;

/// A store in memory.
#[derive(Default)]
pub struct MemoryStore {
    kept: Mutex<Kept>,
}

#[derive(Default)]
struct Kept {
    sites: BTreeMap<SiteId, Shelf>,
    contents: BTreeMap<Digest, Content>,
    names: BTreeMap<ContentName, (Digest, Moment)>,
    runs: BTreeMap<Digest, Run>,
    /// Places of readings by their id: site and place in its list.
    reading_ids: BTreeMap<String, (SiteId, usize)>,
    settings: BTreeMap<String, String>,
}

struct Content {
    bytes: Vec<u8>,
    put_at: Moment,
}

impl Kept {
    fn shelf(&self, id: &SiteId) -> Result<&Shelf, StoreError> {
        let shelf = self.sites.get(id).filter(|shelf| shelf.deleted_at.is_none());
        shelf.ok_or_else(|| StoreError::missing(Thing::Site, id))
    }

    /// The site, if it stands where the caller has seen it.
    fn standing(&mut self, id: &SiteId, expected: &Head) -> Result<&mut Shelf, StoreError> {
        let shelf = self.sites.get_mut(id).filter(|shelf| shelf.deleted_at.is_none());
        let shelf = shelf.ok_or_else(|| StoreError::missing(Thing::Site, id))?;
        match shelf.head() {
            current if current == *expected => Ok(shelf),
            current => Err(StoreError::Moved { current }),
        }
    }

    fn place(&mut self, id: &SiteId, shelf: Shelf) -> Result<Site, StoreError> {
        if self.sites.contains_key(id) {
            return Err(StoreError::Taken { name: id.to_string() });
        }
        Ok(self.sites.entry(id.clone()).or_insert(shelf).site(id))
    }

    fn line(&self, name: &ContentName) -> Result<ContentLine, StoreError> {
        let (digest, at) = *self.names.get(name).ok_or_else(|| StoreError::missing(Thing::Content, &name.name))?;
        Ok(ContentLine { name: name.clone(), digest, bytes: self.contents[&digest].bytes.len() as u64, at })
    }

    fn list(&self, deleted: bool) -> Vec<SiteLine> {
        let mut lines: Vec<SiteLine> = self.sites.iter().map(|(id, shelf)| shelf.line(id)).collect();
        lines.retain(|line| line.deleted_at.is_some() == deleted);
        lines.sort_by(|a, b| {
            let key = |line: &SiteLine| line.deleted_at.unwrap_or(line.updated_at);
            key(b).cmp(&key(a)).then_with(|| a.id.cmp(&b.id))
        });
        lines
    }
}

fn run_bytes(run: &Run) -> u64 {
    (run.job.len() + run.result.len()) as u64
}

impl MemoryStore {
    /// An empty store.
    pub fn new() -> Self {
        Self::default()
    }

    /// What is kept. Each change below first looks and then writes, so a panic between leaves nothing half done.
    fn kept(&self) -> MutexGuard<'_, Kept> {
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Store for MemoryStore {
    fn create_site(&self, id: &SiteId, name: &str, text: &str, note: &str, at: Moment) -> Result<Site, StoreError> {
        self.kept().place(id, Shelf::new(name, text, note, at))
    }

    fn site(&self, id: &SiteId) -> Result<Site, StoreError> {
        Ok(self.kept().shelf(id)?.site(id))
    }

    fn sites(&self) -> Result<Vec<SiteLine>, StoreError> {
        Ok(self.kept().list(false))
    }

    fn deleted_sites(&self) -> Result<Vec<SiteLine>, StoreError> {
        Ok(self.kept().list(true))
    }

    fn save(&self, id: &SiteId, expected: &Head, text: &str, note: &str, at: Moment) -> Result<Site, StoreError> {
        let mut kept = self.kept();
        let shelf = kept.standing(id, expected)?;
        shelf.append(text, note, at);
        Ok(shelf.site(id))
    }

    fn undo(&self, id: &SiteId, expected: &Head, at: Moment) -> Result<Site, StoreError> {
        let mut kept = self.kept();
        let shelf = kept.standing(id, expected)?;
        let parent = shelf.parent().ok_or(StoreError::NothingToUndo)?;
        shelf.move_to(parent, at);
        Ok(shelf.site(id))
    }

    fn redo(&self, id: &SiteId, expected: &Head, at: Moment) -> Result<Site, StoreError> {
        let mut kept = self.kept();
        let shelf = kept.standing(id, expected)?;
        let child = shelf.newest_child().ok_or(StoreError::NothingToRedo)?;
        shelf.move_to(child, at);
        Ok(shelf.site(id))
    }

    fn restore(&self, id: &SiteId, expected: &Head, seq: u32, note: &str, at: Moment) -> Result<Site, StoreError> {
        let mut kept = self.kept();
        let shelf = kept.standing(id, expected)?;
        let text = shelf.version(seq)?.1;
        shelf.append(&text, note, at);
        Ok(shelf.site(id))
    }

    fn rename(&self, id: &SiteId, expected: &Head, name: &str, at: Moment) -> Result<Site, StoreError> {
        let mut kept = self.kept();
        let shelf = kept.standing(id, expected)?;
        shelf.rename(name, at);
        Ok(shelf.site(id))
    }

    fn duplicate(&self, id: &SiteId, new: &SiteId, name: &str, note: &str, at: Moment) -> Result<Site, StoreError> {
        let mut kept = self.kept();
        let text = kept.shelf(id)?.site(id).text;
        kept.place(new, Shelf::new(name, &text, note, at))
    }

    fn delete(&self, id: &SiteId, expected: &Head, at: Moment) -> Result<(), StoreError> {
        self.kept().standing(id, expected)?.deleted_at = Some(at);
        Ok(())
    }

    fn undelete(&self, id: &SiteId, at: Moment) -> Result<Site, StoreError> {
        let mut kept = self.kept();
        let shelf = kept.sites.get_mut(id).filter(|shelf| shelf.deleted_at.is_some());
        let shelf = shelf.ok_or_else(|| StoreError::missing(Thing::Site, id))?;
        shelf.bring_back(at);
        Ok(shelf.site(id))
    }

    fn versions(&self, id: &SiteId) -> Result<Vec<Version>, StoreError> {
        Ok(self.kept().shelf(id)?.versions())
    }

    fn version(&self, id: &SiteId, seq: u32) -> Result<(Version, String), StoreError> {
        self.kept().shelf(id)?.version(seq)
    }

    fn put_content(&self, name: &ContentName, bytes: &[u8], at: Moment) -> Result<Digest, StoreError> {
        let digest = Digest::of(bytes);
        let mut kept = self.kept();
        let content = kept.contents.entry(digest).or_insert_with(|| Content { bytes: bytes.to_vec(), put_at: at });
        content.put_at = content.put_at.max(at);
        kept.names.insert(name.clone(), (digest, at));
        Ok(digest)
    }

    fn content(&self, digest: &Digest) -> Result<Vec<u8>, StoreError> {
        let kept = self.kept();
        let content = kept.contents.get(digest).ok_or_else(|| StoreError::missing(Thing::Content, digest))?;
        Ok(content.bytes.clone())
    }

    fn named_content(&self, name: &ContentName) -> Result<(ContentLine, Vec<u8>), StoreError> {
        let kept = self.kept();
        let line = kept.line(name)?;
        let bytes = kept.contents[&line.digest].bytes.clone();
        Ok((line, bytes))
    }

    fn contents(&self, kind: &str) -> Result<Vec<ContentLine>, StoreError> {
        let kept = self.kept();
        kept.names.keys().filter(|name| name.kind == kind).map(|name| kept.line(name)).collect()
    }

    fn forget_name(&self, name: &ContentName) -> Result<(), StoreError> {
        let gone = self.kept().names.remove(name);
        gone.map(|_| ()).ok_or_else(|| StoreError::missing(Thing::Content, &name.name))
    }

    fn prune_contents(&self, put_before: Moment) -> Result<Pruned, StoreError> {
        let mut kept = self.kept();
        let Kept { contents, names, .. } = &mut *kept;
        let mut pruned = Pruned::default();
        contents.retain(|digest, content| {
            let stays = content.put_at >= put_before || names.values().any(|(named, _)| named == digest);
            if !stays {
                pruned.count += 1;
                pruned.bytes += content.bytes.len() as u64;
            }
            stays
        });
        Ok(pruned)
    }

    fn put_run(&self, run: &Run) -> Result<(), StoreError> {
        let mut kept = self.kept();
        if let Some(unknown) = run.uses.iter().find(|used| !kept.sites.contains_key(&used.site)) {
            return Err(StoreError::missing(Thing::Site, &unknown.site));
        }
        let held = kept.runs.entry(run.identity).or_insert_with(|| Run { uses: Vec::new(), ..run.clone() });
        held.uses.extend(run.uses.iter().cloned());
        held.uses.sort();
        held.uses.dedup();
        Ok(())
    }

    fn run(&self, identity: &Digest) -> Result<Run, StoreError> {
        self.kept().runs.get(identity).cloned().ok_or_else(|| StoreError::missing(Thing::Run, identity))
    }

    fn runs(&self, site: &SiteId) -> Result<Vec<RunLine>, StoreError> {
        let kept = self.kept();
        kept.shelf(site)?;
        let mut lines = Vec::new();
        for run in kept.runs.values() {
            lines.extend(run.uses.iter().filter(|used| used.site == *site).map(|used| RunLine {
                identity: run.identity,
                model: run.model,
                kind: run.kind.clone(),
                accuracy: run.accuracy.clone(),
                version: used.version,
                bytes: run_bytes(run),
                finished_at: run.finished_at,
            }));
        }
        // Runs stand in order of identity and their uses in order of version, which a stable sort leaves between equals.
        lines.sort_by_key(|line| std::cmp::Reverse(line.finished_at));
        Ok(lines)
    }

    fn prune_runs(&self, which: &PruneRuns) -> Result<Pruned, StoreError> {
        let mut kept = self.kept();
        let mut newest_first: Vec<(Digest, Moment, u64)> =
            kept.runs.values().map(|run| (run.identity, run.finished_at, run_bytes(run))).collect();
        newest_first.sort_by_key(|(_, finished_at, _)| std::cmp::Reverse(*finished_at));
        let (mut pruned, mut taken) = (Pruned::default(), 0);
        for (identity, finished_at, bytes) in newest_first {
            taken += bytes;
            let old = which.finished_before.is_some_and(|before| finished_at < before);
            if old || which.keep_bytes.is_some_and(|room| taken > room) {
                kept.runs.remove(&identity);
                pruned.count += 1;
                pruned.bytes += bytes;
            }
        }
        Ok(pruned)
    }

    fn add_readings(&self, readings: &[Reading]) -> Result<u32, StoreError> {
        let mut kept = self.kept();
        // All is looked at before anything is kept; what came earlier in the same call counts as kept.
        let mut new: BTreeMap<&str, &Reading> = BTreeMap::new();
        let mut order = Vec::new();
        for reading in readings {
            kept.shelf(&reading.site)?;
            let before = kept.reading_ids.get(&reading.id).map(|(site, place)| &kept.sites[site].readings[*place]);
            match before.or_else(|| new.get(reading.id.as_str()).copied()) {
                Some(same) if same == reading => {}
                Some(_) => return Err(StoreError::Differs { id: reading.id.clone() }),
                None => {
                    new.insert(&reading.id, reading);
                    order.push(reading);
                }
            }
        }
        for reading in &order {
            let shelf = kept.sites.get_mut(&reading.site).expect("looked up above");
            shelf.readings.push((*reading).clone());
            let place = (reading.site.clone(), shelf.readings.len() - 1);
            kept.reading_ids.insert(reading.id.clone(), place);
        }
        Ok(order.len() as u32)
    }

    fn readings(&self, site: &SiteId, which: &ReadingQuery) -> Result<Vec<ReadingLine>, StoreError> {
        let kept = self.kept();
        let lines = (1..).zip(&kept.shelf(site)?.readings);
        let lines = lines.filter(|(seq, reading)| {
            *seq > which.after
                && which.from.is_none_or(|from| reading.at >= from)
                && which.bin.as_ref().is_none_or(|bin| reading.bin == *bin)
        });
        let lines = lines.take(which.limit.map_or(usize::MAX, |limit| limit as usize));
        Ok(lines.map(|(seq, reading)| ReadingLine { seq, reading: reading.clone() }).collect())
    }

    fn setting(&self, key: &str) -> Result<Option<String>, StoreError> {
        Ok(self.kept().settings.get(key).cloned())
    }

    fn set_setting(&self, key: &str, value: Option<&str>) -> Result<(), StoreError> {
        let mut kept = self.kept();
        match value {
            Some(value) => kept.settings.insert(key.to_string(), value.to_string()),
            None => kept.settings.remove(key),
        };
        Ok(())
    }

    fn check(&self) -> Result<Vec<String>, StoreError> {
        let kept = self.kept();
        let changed = kept.contents.iter().filter(|(digest, content)| Digest::of(&content.bytes) != **digest);
        let mut faults: Vec<String> = changed.map(|(digest, _)| format!("content {digest} has changed")).collect();
        faults.extend(
            kept.sites
                .iter()
                .filter(|(_, shelf)| !shelf.is_whole())
                .map(|(id, _)| format!("the versions of site {id} are not whole")),
        );
        Ok(faults)
    }
}

-- Bytes by what they say: site texts, contents, jobs and results of runs.
CREATE TABLE blobs (
    digest BLOB NOT NULL PRIMARY KEY CHECK (length(digest) = 32),
    size INTEGER NOT NULL,
    deflated INTEGER NOT NULL CHECK (deflated IN (0, 1)),
    put_at INTEGER NOT NULL,
    data BLOB NOT NULL
) STRICT;

CREATE TABLE sites (
    id TEXT NOT NULL PRIMARY KEY,
    name TEXT NOT NULL,
    head INTEGER NOT NULL,
    created_at INTEGER NOT NULL,
    updated_at INTEGER NOT NULL,
    deleted_at INTEGER,
    -- A site and its first version come together, in either order.
    FOREIGN KEY (id, head) REFERENCES versions (site, seq) DEFERRABLE INITIALLY DEFERRED
) STRICT;

CREATE TABLE versions (
    site TEXT NOT NULL REFERENCES sites (id) DEFERRABLE INITIALLY DEFERRED,
    seq INTEGER NOT NULL CHECK (seq >= 1),
    parent INTEGER CHECK (parent < seq),
    digest BLOB NOT NULL REFERENCES blobs (digest),
    at INTEGER NOT NULL,
    note TEXT NOT NULL,
    PRIMARY KEY (site, seq),
    FOREIGN KEY (site, parent) REFERENCES versions (site, seq)
) STRICT;
CREATE INDEX versions_by_parent ON versions (site, parent);
CREATE INDEX versions_by_digest ON versions (digest);

CREATE TABLE names (
    kind TEXT NOT NULL,
    name TEXT NOT NULL,
    digest BLOB NOT NULL REFERENCES blobs (digest),
    at INTEGER NOT NULL,
    PRIMARY KEY (kind, name)
) STRICT;
CREATE INDEX names_by_digest ON names (digest);

CREATE TABLE runs (
    identity BLOB NOT NULL PRIMARY KEY CHECK (length(identity) = 32),
    model INTEGER NOT NULL,
    kind TEXT NOT NULL,
    accuracy TEXT NOT NULL,
    job BLOB NOT NULL REFERENCES blobs (digest),
    result BLOB NOT NULL REFERENCES blobs (digest),
    finished_at INTEGER NOT NULL
) STRICT;
CREATE INDEX runs_by_job ON runs (job);
CREATE INDEX runs_by_result ON runs (result);
CREATE INDEX runs_by_age ON runs (finished_at);

CREATE TABLE run_uses (
    identity BLOB NOT NULL REFERENCES runs (identity) ON DELETE CASCADE,
    site TEXT NOT NULL REFERENCES sites (id),
    version BLOB NOT NULL CHECK (length(version) = 32),
    PRIMARY KEY (identity, site, version)
) STRICT;
CREATE INDEX run_uses_by_site ON run_uses (site);

CREATE TABLE readings (
    id TEXT NOT NULL PRIMARY KEY,
    site TEXT NOT NULL REFERENCES sites (id),
    seq INTEGER NOT NULL CHECK (seq >= 1),
    bin TEXT NOT NULL,
    at INTEGER NOT NULL,
    body TEXT NOT NULL,
    UNIQUE (site, seq)
) STRICT;

CREATE TABLE settings (
    key TEXT NOT NULL PRIMARY KEY,
    value TEXT NOT NULL
) STRICT;

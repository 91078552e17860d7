#include "database.h"

/*
 * Each step is run once, in its own transaction, and never edited after a
 * release: a change of the tables is a new step at the end.
 *
 * Times are seconds since 1970 UTC with the local offset in minutes beside them.
 * Covariances are the upper triangle of a Lab 3 x 3 matrix, row by row.
 */
static const char first_tables[] =
    "CREATE TABLE ink ("
    "  id INTEGER PRIMARY KEY,"
    "  name TEXT NOT NULL UNIQUE CHECK (name <> ''),"
    "  family TEXT);" /* as the person groups it; NULL: as measured */

    "CREATE TABLE batch ("
    "  id INTEGER PRIMARY KEY,"
    "  ink_id INTEGER NOT NULL REFERENCES ink,"
    "  label TEXT NOT NULL CHECK (label <> ''),"
    "  UNIQUE (ink_id, label));"

    "CREATE TABLE chart ("
    "  id INTEGER PRIMARY KEY,"
    "  name TEXT NOT NULL UNIQUE CHECK (name <> ''),"
    "  rows INTEGER NOT NULL CHECK (rows > 0),"
    "  columns INTEGER NOT NULL CHECK (columns > 0));"

    "CREATE TABLE cell ("
    "  id INTEGER PRIMARY KEY,"
    "  chart_id INTEGER NOT NULL REFERENCES chart,"
    "  row INTEGER NOT NULL CHECK (row > 0),"
    "  column INTEGER NOT NULL CHECK (column > 0),"
    "  UNIQUE (chart_id, row, column));"

    "CREATE TABLE swatch ("
    "  id INTEGER PRIMARY KEY,"
    "  cell_id INTEGER NOT NULL REFERENCES cell,"
    "  ink_id INTEGER NOT NULL REFERENCES ink,"
    "  batch_id INTEGER REFERENCES batch,"
    "  paper TEXT,"
    "  inked_utc_s INTEGER,"
    "  inked_offset_min INTEGER);"
    "CREATE INDEX swatch_by_cell ON swatch (cell_id);"
    "CREATE INDEX swatch_by_ink ON swatch (ink_id);"

    "CREATE TABLE photo ("
    "  id INTEGER PRIMARY KEY,"
    "  chart_id INTEGER NOT NULL REFERENCES chart,"
    "  hash TEXT NOT NULL,"
    "  take INTEGER NOT NULL DEFAULT 1 CHECK (take > 0)," /* counts measurements of one photo */
    "  path TEXT NOT NULL,"
    "  width_px INTEGER NOT NULL,"
    "  height_px INTEGER NOT NULL,"
    "  profile TEXT,"
    "  taken_utc_s INTEGER,"
    "  taken_offset_min INTEGER,"
    "  taken_source TEXT NOT NULL CHECK (taken_source IN ('none', 'exif', 'file', 'given')),"
    "  card TEXT NOT NULL,"
    "  method TEXT NOT NULL,"
    "  patches_used INTEGER NOT NULL,"
    "  residual_mean REAL NOT NULL,"
    "  residual_max REAL NOT NULL,"
    "  left_out_mean REAL NOT NULL,"
    "  left_out_max REAL NOT NULL,"
    "  light_falloff REAL NOT NULL,"
    "  light_shift REAL NOT NULL,"
    "  paper_L REAL NOT NULL,"
    "  paper_a REAL NOT NULL,"
    "  paper_b REAL NOT NULL,"
    "  stored_utc_s INTEGER NOT NULL,"
    "  stored_offset_min INTEGER NOT NULL,"
    "  UNIQUE (hash, take));"

    "CREATE TABLE reading ("
    "  id INTEGER PRIMARY KEY,"
    "  photo_id INTEGER NOT NULL REFERENCES photo,"
    "  cell_id INTEGER NOT NULL REFERENCES cell,"
    "  swatch_id INTEGER REFERENCES swatch,"
    "  part TEXT NOT NULL DEFAULT 'full' CHECK (part IN ('full', 'thin'))," /* how thick the ink */
    "  found TEXT NOT NULL CHECK (found IN ('ink', 'empty', 'unreadable')),"
    "  L REAL, a REAL, b REAL,"
    "  u95 REAL,"
    "  evenness REAL,"
    "  flags INTEGER NOT NULL," /* 1 clipped, 2 glare, 4 shadow, 8 uneven, 16 small, 32 outside */
    "  shared_LL REAL, shared_La REAL, shared_Lb REAL,"
    "  shared_aa REAL, shared_ab REAL, shared_bb REAL,"
    "  own_LL REAL, own_La REAL, own_Lb REAL,"
    "  own_aa REAL, own_ab REAL, own_bb REAL,"
    "  CHECK (found = 'unreadable' OR (L IS NOT NULL AND a IS NOT NULL AND b IS NOT NULL)),"
    "  UNIQUE (photo_id, cell_id, part));"
    "CREATE INDEX reading_by_swatch ON reading (swatch_id);"
    "CREATE TRIGGER reading_is_kept BEFORE UPDATE ON reading"
    "  BEGIN SELECT RAISE(ABORT, 'readings are never overwritten'); END;"

    "CREATE TABLE combination ("
    "  id INTEGER PRIMARY KEY,"
    "  mood TEXT CHECK (mood IN ('tonal', 'contrast')),"
    "  note TEXT,"
    "  made_utc_s INTEGER NOT NULL,"
    "  made_offset_min INTEGER NOT NULL);"

    "CREATE TABLE combination_ink ("
    "  combination_id INTEGER NOT NULL REFERENCES combination,"
    "  position INTEGER NOT NULL CHECK (position BETWEEN 1 AND 5),"
    "  ink_id INTEGER NOT NULL REFERENCES ink,"
    "  PRIMARY KEY (combination_id, position)) WITHOUT ROWID;"

    /* a test blend of two inks as measured, which settles how that pair blends */
    "CREATE TABLE blend ("
    "  id INTEGER PRIMARY KEY,"
    "  first_ink_id INTEGER NOT NULL REFERENCES ink,"
    "  second_ink_id INTEGER NOT NULL REFERENCES ink,"
    "  second_share REAL NOT NULL CHECK (second_share BETWEEN 0 AND 1),"
    "  photo_id INTEGER REFERENCES photo,"
    "  L REAL NOT NULL, a REAL NOT NULL, b REAL NOT NULL,"
    "  u95 REAL NOT NULL);";

/* A strip of blends is a row a cell, with where it was read from. */
static const char blends_by_strip[] = "ALTER TABLE blend ADD COLUMN strip INTEGER;"
                                      "ALTER TABLE blend ADD COLUMN photo_path TEXT;"
                                      "ALTER TABLE blend ADD COLUMN photo_hash TEXT;"
                                      "ALTER TABLE blend ADD COLUMN taken_utc_s INTEGER;"
                                      "ALTER TABLE blend ADD COLUMN taken_offset_min INTEGER;";

/* Sheets that woad printed, by the number that their corner marks tell the camera. */
static const char printed_sheets[] =
    "CREATE TABLE sheet ("
    "  number INTEGER PRIMARY KEY CHECK (number > 0),"
    "  title TEXT NOT NULL,"
    "  page INTEGER NOT NULL CHECK (page > 0)," /* of the pages of its title */
    "  rows INTEGER NOT NULL CHECK (rows BETWEEN 1 AND 40),"
    "  columns INTEGER NOT NULL CHECK (columns BETWEEN 1 AND 40),"
    "  page_x_mm REAL NOT NULL, page_y_mm REAL NOT NULL,"
    "  first_x_mm REAL NOT NULL, first_y_mm REAL NOT NULL," /* of the first cell's frame */
    "  cell_x_mm REAL NOT NULL, cell_y_mm REAL NOT NULL,"
    "  pitch_x_mm REAL NOT NULL, pitch_y_mm REAL NOT NULL," /* from cell to cell */
    "  card_x_mm REAL NOT NULL, card_y_mm REAL NOT NULL,"   /* the card's place; 0: none */
    "  made_utc_s INTEGER NOT NULL,"
    "  made_offset_min INTEGER);"
    /* names, not inks: an ink is one only once it was measured, and may be renamed since */
    "CREATE TABLE sheet_cell ("
    "  sheet_number INTEGER NOT NULL REFERENCES sheet,"
    "  row INTEGER NOT NULL CHECK (row > 0),"
    "  column INTEGER NOT NULL CHECK (column > 0),"
    "  ink TEXT NOT NULL CHECK (ink <> ''),"
    "  batch TEXT,"
    "  PRIMARY KEY (sheet_number, row, column)) WITHOUT ROWID;";

#define COUNTED_READING                                                                            \
    "CREATE VIEW counted_reading AS SELECT reading.* FROM reading"                                 \
    "  JOIN photo ON photo.id = reading.photo_id AND NOT photo.forgotten"                          \
    "  LEFT JOIN swatch ON swatch.id = reading.swatch_id"                                          \
    "  WHERE coalesce(swatch.forgotten, 0) = 0;"

/* What was told wrongly and set right since, and what is no longer to count. */
static const char changes[] =
    "ALTER TABLE photo ADD COLUMN forgotten INTEGER NOT NULL DEFAULT 0;"
    "ALTER TABLE swatch ADD COLUMN forgotten INTEGER NOT NULL DEFAULT 0;"
    "ALTER TABLE ink ADD COLUMN forgotten INTEGER NOT NULL DEFAULT 0;"

    COUNTED_READING

    "CREATE TABLE change ("
    "  id INTEGER PRIMARY KEY,"
    "  told TEXT NOT NULL," /* for a person */
    "  made_utc_s INTEGER NOT NULL,"
    "  made_offset_min INTEGER NOT NULL,"
    "  undone_utc_s INTEGER," /* NULL: it stands */
    "  undone_offset_min INTEGER);"

    "CREATE TABLE change_step ("
    "  id INTEGER PRIMARY KEY,"
    "  change_id INTEGER NOT NULL REFERENCES change,"
    "  undo TEXT NOT NULL);" /* the statement that brings back one value of one row */
    "CREATE INDEX change_step_by_change ON change_step (change_id);";

/* Names are the same whatever their case and spaces: `fold` (database.h) writes them alike. Twins
 * that came in before stay two inks until they are merged. */
static const char folded_names[] = "ALTER TABLE ink ADD COLUMN folded TEXT;"
                                   "UPDATE ink SET folded = fold(name);"
                                   "CREATE INDEX ink_by_folded ON ink (folded);";

/* What a cell was called while no name was told: its chart's name and its label. */
#define CELL_CALLED                                                                                \
    "(chart.name || ' ' || CASE WHEN cell.row > 26 THEN 'A' || char(38 + cell.row)"                \
    " ELSE char(64 + cell.row) END || cell.column)"

/* A swatch may wait for its name: then it has no ink, and its batch is a label only. Until now such
 * a swatch had an ink called after its cell; these are no inks any more. */
static const char unnamed_swatches[] =
    "DROP VIEW counted_reading;"
    "CREATE TABLE swatch_with_or_without_ink ("
    "  id INTEGER PRIMARY KEY,"
    "  cell_id INTEGER NOT NULL REFERENCES cell,"
    "  ink_id INTEGER REFERENCES ink,"
    "  batch_id INTEGER REFERENCES batch,"
    "  batch_told TEXT," /* while there is no ink that could have a batch */
    "  paper TEXT,"
    "  inked_utc_s INTEGER,"
    "  inked_offset_min INTEGER,"
    "  forgotten INTEGER NOT NULL DEFAULT 0);"

    "CREATE TEMP TABLE unnamed AS SELECT swatch.id AS swatch_id, swatch.ink_id FROM swatch"
    "  JOIN cell ON cell.id = swatch.cell_id JOIN chart ON chart.id = cell.chart_id"
    "  JOIN ink ON ink.id = swatch.ink_id AND ink.name = " CELL_CALLED
    "  WHERE ink.id NOT IN (SELECT ink_id FROM combination_ink)"
    "  AND ink.id NOT IN (SELECT first_ink_id FROM blend UNION SELECT second_ink_id FROM blend);"
    "INSERT INTO swatch_with_or_without_ink SELECT swatch.id, cell_id,"
    "  CASE WHEN unnamed.ink_id IS NULL THEN swatch.ink_id END,"
    "  CASE WHEN unnamed.ink_id IS NULL THEN batch_id END,"
    "  CASE WHEN unnamed.ink_id IS NOT NULL THEN batch.label END,"
    "  paper, inked_utc_s, inked_offset_min, forgotten"
    "  FROM swatch LEFT JOIN unnamed ON unnamed.swatch_id = swatch.id"
    "  LEFT JOIN batch ON batch.id = swatch.batch_id;"
    "DROP TABLE swatch;"
    "ALTER TABLE swatch_with_or_without_ink RENAME TO swatch;"
    "CREATE INDEX swatch_by_cell ON swatch (cell_id);"
    "CREATE INDEX swatch_by_ink ON swatch (ink_id);"
    "UPDATE ink SET forgotten = 1 WHERE id IN (SELECT ink_id FROM unnamed)"
    "  AND id NOT IN (SELECT ink_id FROM swatch WHERE ink_id IS NOT NULL);"
    "DROP TABLE unnamed;" COUNTED_READING;

/* A combination that was logged by mistake. */
static const char forgotten_combinations[] =
    "ALTER TABLE combination ADD COLUMN forgotten INTEGER NOT NULL DEFAULT 0;";

/* Printers and kinds of labels, by names of the person's own; the same whatever their case. */
static const char print_setups[] =
    "CREATE TABLE printer ("
    "  folded TEXT PRIMARY KEY,"
    "  name TEXT NOT NULL CHECK (name <> ''),"
    "  scale_x REAL NOT NULL CHECK (scale_x > 0), scale_y REAL NOT NULL CHECK (scale_y > 0),"
    "  front_x_mm REAL NOT NULL, front_y_mm REAL NOT NULL,"
    "  back_x_mm REAL NOT NULL, back_y_mm REAL NOT NULL);"
    "CREATE TABLE label_stock ("
    "  folded TEXT PRIMARY KEY,"
    "  name TEXT NOT NULL CHECK (name <> ''),"
    "  page_x_mm REAL NOT NULL, page_y_mm REAL NOT NULL,"
    "  rows INTEGER NOT NULL CHECK (rows > 0),"
    "  columns INTEGER NOT NULL CHECK (columns > 0),"
    "  label_x_mm REAL NOT NULL, label_y_mm REAL NOT NULL,"
    "  first_x_mm REAL NOT NULL, first_y_mm REAL NOT NULL,"
    "  pitch_x_mm REAL NOT NULL, pitch_y_mm REAL NOT NULL);";

/* Columns that nothing was ever written to go, and a cell's unevenness is called what it is. */
static const char written_columns[] =
    "DROP VIEW counted_reading;"
    "ALTER TABLE ink DROP COLUMN family;"

    "CREATE TABLE reading_as_written ("
    "  id INTEGER PRIMARY KEY,"
    "  photo_id INTEGER NOT NULL REFERENCES photo,"
    "  cell_id INTEGER NOT NULL REFERENCES cell,"
    "  swatch_id INTEGER REFERENCES swatch,"
    "  found TEXT NOT NULL CHECK (found IN ('ink', 'empty', 'unreadable')),"
    "  L REAL, a REAL, b REAL,"
    "  u95 REAL,"
    "  unevenness REAL,"
    "  flags INTEGER NOT NULL," /* 1 clipped, 2 glare, 4 shadow, 8 uneven, 16 small, 32 outside */
    "  shared_LL REAL, shared_La REAL, shared_Lb REAL,"
    "  shared_aa REAL, shared_ab REAL, shared_bb REAL,"
    "  own_LL REAL, own_La REAL, own_Lb REAL,"
    "  own_aa REAL, own_ab REAL, own_bb REAL,"
    "  CHECK (found = 'unreadable' OR (L IS NOT NULL AND a IS NOT NULL AND b IS NOT NULL)),"
    "  UNIQUE (photo_id, cell_id));"
    "INSERT INTO reading_as_written SELECT id, photo_id, cell_id, swatch_id, found, L, a, b, u95,"
    "  evenness, flags, shared_LL, shared_La, shared_Lb, shared_aa, shared_ab, shared_bb,"
    "  own_LL, own_La, own_Lb, own_aa, own_ab, own_bb FROM reading;"
    "DROP TABLE reading;"
    "ALTER TABLE reading_as_written RENAME TO reading;"
    "CREATE INDEX reading_by_swatch ON reading (swatch_id);"
    "CREATE TRIGGER reading_is_kept BEFORE UPDATE ON reading"
    "  BEGIN SELECT RAISE(ABORT, 'readings are never overwritten'); END;" COUNTED_READING

    "CREATE TABLE blend_as_written ("
    "  id INTEGER PRIMARY KEY,"
    "  first_ink_id INTEGER NOT NULL REFERENCES ink,"
    "  second_ink_id INTEGER NOT NULL REFERENCES ink,"
    "  second_share REAL NOT NULL CHECK (second_share BETWEEN 0 AND 1),"
    "  L REAL NOT NULL, a REAL NOT NULL, b REAL NOT NULL,"
    "  u95 REAL NOT NULL,"
    "  strip INTEGER,"
    "  photo_path TEXT,"
    "  photo_hash TEXT,"
    "  taken_utc_s INTEGER,"
    "  taken_offset_min INTEGER);"
    "INSERT INTO blend_as_written SELECT id, first_ink_id, second_ink_id, second_share, L, a, b,"
    "  u95, strip, photo_path, photo_hash, taken_utc_s, taken_offset_min FROM blend;"
    "DROP TABLE blend;"
    "ALTER TABLE blend_as_written RENAME TO blend;";

const char *const schema_steps[] = {
    first_tables,     blends_by_strip,        printed_sheets, changes,        folded_names,
    unnamed_swatches, forgotten_combinations, print_setups,   written_columns};

const int schema_version = sizeof schema_steps / sizeof *schema_steps;

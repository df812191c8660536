-- Studies whose quilts look alike on their photographs, each two once, the lower number first.
CREATE TABLE alike (
  one INTEGER NOT NULL REFERENCES studies (id) ON DELETE CASCADE,
  two INTEGER NOT NULL REFERENCES studies (id) ON DELETE CASCADE,
  PRIMARY KEY (one, two)
) STRICT, WITHOUT ROWID;
CREATE INDEX alike_to_one ON alike (two);

-- What was used, summed up by day, so that an account of any length reads some thousand rows and not millions.

CREATE TABLE use_day ( -- Uses of visits by product, way of knowing and day, superseded visits included; follows visit_use row by row.
  product TEXT NOT NULL, -- Slug of the product.
  known TEXT NOT NULL, -- One of measured, accepted, estimated.
  date INTEGER NOT NULL, -- Civil date of the mixes.
  uses INTEGER NOT NULL, -- How many mixes.
  used_ml INTEGER NOT NULL, -- Concentrate.
  expected_ml INTEGER NOT NULL, -- Concentrate that the lines asked for, where that is known.
  unexpected_ml INTEGER NOT NULL, -- Concentrate of mixes for which it is not known.
  water_ml INTEGER NOT NULL, -- Water.
  PRIMARY KEY (product, known, date)
) STRICT, WITHOUT ROWID;

INSERT INTO use_day (product, known, date, uses, used_ml, expected_ml, unexpected_ml, water_ml)
SELECT product, known, date, count (*), ifnull (sum (concentrate_ml), 0), ifnull (sum (expected_ml), 0),
  ifnull (sum (concentrate_ml) FILTER (WHERE expected_ml IS NULL), 0), ifnull (sum (water_ml), 0)
FROM visit_use WHERE product IS NOT NULL GROUP BY product, known, date;

CREATE TRIGGER visit_use_day_add AFTER INSERT ON visit_use WHEN NEW.product IS NOT NULL BEGIN
  INSERT INTO use_day (product, known, date, uses, used_ml, expected_ml, unexpected_ml, water_ml)
  VALUES (NEW.product, NEW.known, NEW.date, 1, ifnull (NEW.concentrate_ml, 0), ifnull (NEW.expected_ml, 0),
    iif (NEW.expected_ml IS NULL, ifnull (NEW.concentrate_ml, 0), 0), ifnull (NEW.water_ml, 0))
  ON CONFLICT (product, known, date) DO UPDATE SET uses = uses + 1, used_ml = used_ml + excluded.used_ml,
    expected_ml = expected_ml + excluded.expected_ml, unexpected_ml = unexpected_ml + excluded.unexpected_ml,
    water_ml = water_ml + excluded.water_ml;
END;
CREATE TRIGGER visit_use_day_take AFTER DELETE ON visit_use WHEN OLD.product IS NOT NULL BEGIN
  UPDATE use_day SET uses = uses - 1, used_ml = used_ml - ifnull (OLD.concentrate_ml, 0),
    expected_ml = expected_ml - ifnull (OLD.expected_ml, 0),
    unexpected_ml = unexpected_ml - iif (OLD.expected_ml IS NULL, ifnull (OLD.concentrate_ml, 0), 0),
    water_ml = water_ml - ifnull (OLD.water_ml, 0)
  WHERE product = OLD.product AND known = OLD.known AND date = OLD.date;
  DELETE FROM use_day WHERE product = OLD.product AND known = OLD.known AND date = OLD.date AND uses = 0;
END;

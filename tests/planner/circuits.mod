# Circuits of a site as an integer program, in GNU MathProg: which line runs in which circuit, and how.
#
# A circuit is as many lines in as out at every tower and cooler, joined into one piece, within the pump's
# head. Its pieces are kept together by a flow that begins at one place and leaves one unit at every other
# place the circuit touches. Fewest static lines, then fewest circuits, then fewest reversals.

set LINES;
set TOWERS;
set COOLERS;
param tower {LINES} symbolic in TOWERS;
param cooler {LINES} symbolic in COOLERS;
param loss {LINES} >= 0;      # micrometres
param may_run_in {LINES} binary;
param lever {LINES} binary;
param capacity >= 0;          # micrometres

set CIRCUITS := 1 .. floor (card (LINES) / 2);
set PLACES := setof {t in TOWERS} ('T', t) union setof {c in COOLERS} ('C', c);
param places := card (PLACES);

var runs_in {LINES, CIRCUITS} binary;
var runs_out {LINES, CIRCUITS} binary;
var is_run {CIRCUITS} binary;
var begins {PLACES, CIRCUITS} binary;
var touched {PLACES, CIRCUITS} binary;
var upwards {LINES, CIRCUITS} >= 0;   # the flow from cooler to tower
var downwards {LINES, CIRCUITS} >= 0; # the flow from tower to cooler

minimize worse:
  10000 * (card (LINES) - sum {l in LINES, k in CIRCUITS} (runs_in[l, k] + runs_out[l, k]))
  + 100 * sum {k in CIRCUITS} is_run[k] + sum {l in LINES, k in CIRCUITS} lever[l] * runs_in[l, k];

subject to once {l in LINES}: sum {k in CIRCUITS} (runs_in[l, k] + runs_out[l, k]) <= 1;
subject to one_way {l in LINES, k in CIRCUITS: may_run_in[l] = 0}: runs_in[l, k] = 0;
subject to tower_balance {t in TOWERS, k in CIRCUITS}:
  sum {l in LINES: tower[l] = t} (runs_in[l, k] - runs_out[l, k]) = 0;
subject to cooler_balance {c in COOLERS, k in CIRCUITS}:
  sum {l in LINES: cooler[l] = c} (runs_in[l, k] - runs_out[l, k]) = 0;
subject to head {k in CIRCUITS}:
  sum {l in LINES} loss[l] / capacity * (runs_in[l, k] + runs_out[l, k]) <= is_run[k];
subject to in_turn {k in CIRCUITS: k > 1}: is_run[k] <= is_run[k - 1];

# Line number i runs in one of the first i circuits: circuits are numbered by their first lines.
param place {l in LINES} := card ({m in LINES: m <= l});
subject to numbered {l in LINES, k in CIRCUITS: k > place[l]}: runs_in[l, k] + runs_out[l, k] = 0;

subject to touched_towers {l in LINES, k in CIRCUITS}:
  touched['T', tower[l], k] >= runs_in[l, k] + runs_out[l, k];
subject to touched_coolers {l in LINES, k in CIRCUITS}:
  touched['C', cooler[l], k] >= runs_in[l, k] + runs_out[l, k];
subject to one_beginning {k in CIRCUITS}: sum {(s, p) in PLACES} begins[s, p, k] <= 1;
subject to carried_up {l in LINES, k in CIRCUITS}:
  upwards[l, k] <= (places - 1) * (runs_in[l, k] + runs_out[l, k]);
subject to carried_down {l in LINES, k in CIRCUITS}:
  downwards[l, k] <= (places - 1) * (runs_in[l, k] + runs_out[l, k]);
subject to left_at_towers {t in TOWERS, k in CIRCUITS}:
  sum {l in LINES: tower[l] = t} (upwards[l, k] - downwards[l, k])
  >= touched['T', t, k] - places * begins['T', t, k];
subject to left_at_coolers {c in COOLERS, k in CIRCUITS}:
  sum {l in LINES: cooler[l] = c} (downwards[l, k] - upwards[l, k])
  >= touched['C', c, k] - places * begins['C', c, k];

solve;
printf "static %d circuits %d reversals %d\n",
  card (LINES) - sum {l in LINES, k in CIRCUITS} (runs_in[l, k] + runs_out[l, k]),
  sum {k in CIRCUITS} is_run[k], sum {l in LINES, k in CIRCUITS} lever[l] * runs_in[l, k];
end;

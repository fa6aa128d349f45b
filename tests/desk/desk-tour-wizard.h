/* desk-tour-wizard.h: a look at each step of a visit, with its forms, for tests that look at all of them. */
#pragma once

#include "desk-tour.h"

/* Opens a book with the visit of hand-visit.jsonl begun and does it act by act. */
void td_tour_wizard (TdDrive *drive, TdTourStop stop, gpointer data);

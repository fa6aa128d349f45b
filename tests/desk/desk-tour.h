/* desk-tour.h: a walk through every page of the window, for tests that look at all of them. */
#pragma once

#include "desk-drive.h"

/* @name: stable, "site". @root: what is to be looked at: the window, or one that stands before it. */
typedef void (*TdTourStop) (TdDrive *drive, const char *name, GtkWidget *root, gpointer data);

/* Stops in the wizard, one a step; there are more, of its forms. */
#define TD_TOUR_STEPS 9

/* Makes a book in the run's folder and goes through it. */
void td_tour (TdDrive *drive, TdTourStop stop, gpointer data);

/* fuzz.h: what every fuzz target gives: the entry point that libFuzzer calls.
 *
 * A target asserts what must hold for any bytes at all.  It is built twice: with fuzz-main.c as an
 * ordinary test over its corpus and seeded mutations of it, and, with clang, against libFuzzer for long
 * runs. */
#pragma once

#include <stddef.h>
#include <stdint.h>

int LLVMFuzzerTestOneInput (const uint8_t *data, size_t size);

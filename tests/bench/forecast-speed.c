/*
 * The recursion of definitions §5 on a line that moves as ready, in plain scalar C: units x stations x runs, one place a station, work = standard times a
 * ratio drawn from the station's table by xoshiro128+ (Blackman and Vigna). Reads the tables and standards, runs twice over each order of the loops,
 * prints for each order the seconds of the best of `rounds`, and the mean exit of the last unit, by which the two programs are held against each other.
 *
 * Usage: forecast-speed units stations runs rounds entries < doubles (stations * entries ratios, units * stations standards)
 */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static uint32_t s0 = 1, s1 = 2, s2 = 3, s3 = 4;

static inline uint32_t rotl(uint32_t x, int k) { return (x << k) | (x >> (32 - k)); }

static inline uint32_t next_bits(void) {
  uint32_t result = s0 + s3, t = s1 << 9;
  s2 ^= s0; s3 ^= s1; s1 ^= s2; s0 ^= s3; s2 ^= t; s3 = rotl(s3, 11);
  return result;
}

static inline double later(double a, double b) { return a > b ? a : b; }

static int units, stations, runs, entries, shift;
static double *tables, *standards, *exits;

/* Run by run: the whole state of a run lies in the first cache. */
static void run_by_run(double *leave) {
  for (int r = 0; r < runs; r++) {
    memset(leave, 0, stations * sizeof(double));
    for (int u = 0; u < units; u++) {
      double ready = 0;
      for (int s = 0; s < stations; s++) {
        double arrive = later(ready, leave[s]);
        if (s > 0) leave[s - 1] = arrive;
        ready = arrive + tables[s * entries + (next_bits() >> shift)] * standards[u * stations + s];
      }
      leave[stations - 1] = ready;
      exits[(size_t)u * runs + r] = ready;
    }
  }
}

/* A block of runs innermost, as the program does it: the compiler may overlap neighbouring runs. */
enum { BLOCK = 512 };
static void block_innermost(double *leave, double *ready) {
  for (int from = 0; from < runs; from += BLOCK) {
    int count = runs - from < BLOCK ? runs - from : BLOCK;
    memset(leave, 0, stations * BLOCK * sizeof(double));
    for (int u = 0; u < units; u++) {
      memset(ready, 0, BLOCK * sizeof(double));
      for (int s = 0; s < stations; s++) {
        const double *table = tables + s * entries, *free_from = leave + s * BLOCK;
        double *before = leave + (s > 0 ? s - 1 : stations) * BLOCK, standard = standards[u * stations + s];
        for (int r = 0; r < BLOCK; r++) {
          double arrive = later(ready[r], free_from[r]);
          before[r] = arrive;
          ready[r] = arrive + table[next_bits() >> shift] * standard;
        }
      }
      memcpy(leave + (stations - 1) * BLOCK, ready, BLOCK * sizeof(double));
      memcpy(exits + (size_t)u * runs + from, ready, count * sizeof(double));
    }
  }
}

static double seconds(void) {
  struct timespec now;
  clock_gettime(CLOCK_MONOTONIC, &now);
  return now.tv_sec + now.tv_nsec * 1e-9;
}

static double mean_exit(void) {
  double sum = 0;
  for (int r = 0; r < runs; r++) sum += exits[(size_t)(units - 1) * runs + r];
  return sum / runs;
}

int main(int argc, char **argv) {
  if (argc != 6) return 2;
  units = atoi(argv[1]); stations = atoi(argv[2]); runs = atoi(argv[3]); entries = atoi(argv[5]);
  int rounds = atoi(argv[4]);
  shift = 32 - __builtin_ctz(entries);
  tables = malloc((size_t)stations * entries * sizeof(double));
  standards = malloc((size_t)units * stations * sizeof(double));
  exits = malloc((size_t)units * runs * sizeof(double));
  double *leave = malloc((size_t)(stations + 1) * BLOCK * sizeof(double)), *ready = malloc(BLOCK * sizeof(double));
  size_t table_size = (size_t)stations * entries, standard_size = (size_t)units * stations;
  if (fread(tables, sizeof(double), table_size, stdin) != table_size || fread(standards, sizeof(double), standard_size, stdin) != standard_size) return 3;
  double by_run = 1e9, by_block = 1e9, mean_by_run = 0, mean_by_block = 0;
  for (int i = 0; i < rounds; i++) {
    double start = seconds();
    run_by_run(leave);
    double half = seconds();
    mean_by_run = mean_exit();
    double again = seconds();
    block_innermost(leave, ready);
    double end = seconds();
    mean_by_block = mean_exit();
    if (half - start < by_run) by_run = half - start;
    if (end - again < by_block) by_block = end - again;
  }
  printf("%.6f %.6f %.6f %.6f\n", by_run, by_block, mean_by_run, mean_by_block);
  return 0;
}

// What correct, inspect and learn read in the same way: a plan and a measured piece.
#pragma once

#include <string>

#include "app/inputs.h"
#include "exchange/measured_piece.h"

namespace bight::app {

struct BenchArguments {
  PlanArguments plan;
  std::string measured;    // file; "-" reads what is piped in
  bool swap_scan = false;  // end A of a scan is the other end
};
void add_bench_options(CLI::App& command, BenchArguments& arguments);

struct BenchInput {
  MadePlan made;
  exchange::MeasuredPiece piece;
};
// The plan, and the piece held against its shape. An answer given with --answer counts for both
// files. Failure codes: those of make_plan and of exchange::read_measured_file; the code of an open
// question; measured.part (the piece's file names another part).
base::Result<BenchInput> read_bench_input(const BenchArguments& arguments);

}  // namespace bight::app

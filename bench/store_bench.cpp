// A shop of 100 000 jobs: search while typing, one write, the change feed. On SQLite, and on the
// server that BIGHT_TEST_POSTGRESQL names (tools/with_postgresql.sh). The other ways to search that
// were weighed (docs/adr/0006-the-shops-memory.md) are timed on the same parts in the same run.
#include "records/store.h"

#include <benchmark/benchmark.h>
#include <fmt/format.h>
#include <soci/soci.h>
#include <unistd.h>

#include <array>
#include <cstdlib>
#include <filesystem>
#include <memory>
#include <random>
#include <string>

#include "records/database.h"
#include "records/open.h"
#include "records/rows.h"
#include "records/search_index.h"

namespace {

using namespace bight::records;
using bight::base::Done;
using bight::base::Result;
using bight::base::Status;

constexpr int kJobs = 100'000;
constexpr std::array<const char*, 8> kThings{"stair rail", "gate frame", "hand rail",
                                             "roll hoop",  "bench leg",  "ladder side",
                                             "grab bar",   "chair back"};
constexpr std::array<const char*, 6> kCustomers{"Fenwater Rail & Frame", "Oxbow Marina",
                                                "Hollin Farm",           "Müllerei Aue",
                                                "Quay Street School",    "Tarn Boats"};
constexpr std::array<const char*, 5> kMetals{"304", "316L", "S235", "6060-T4", "E235"};
constexpr std::array<double, 6> kTubes_mm{25.4, 33.7, 38.1, 42.4, 48.3, 60.3};

PartSummary part(std::mt19937& random, int number) {
  const double od_mm = kTubes_mm[random() % kTubes_mm.size()];
  const double wall_mm = random() % 2 == 0 ? 1.5 : 2.0;
  return {.name = fmt::format("{} {}", kThings[random() % kThings.size()], number),
          .customer = kCustomers[random() % kCustomers.size()],
          .drawing = fmt::format("D-{:06}", random() % 1'000'000),
          .tube = fmt::format("{} x {}", od_mm, wall_mm),
          .od_mm = od_mm,
          .wall_mm = wall_mm,
          .radii_mm = {od_mm * static_cast<double>(2 + random() % 3)},
          .material = kMetals[random() % kMetals.size()],
          .bends = static_cast<int>(random() % 12),
          .hand = "left",
          .picture = std::string(400, 'L')};
}

// The documents carry the number from which the summary is made again.
PartSummary summary(std::string_view document) {
  const int number = std::atoi(std::string(document.substr(document.find(':') + 1)).c_str());
  std::mt19937 random(static_cast<unsigned>(number));
  return part(random, number);
}

RecordId job_id(int number) { return *RecordId::parse(fmt::format("job{}", number)); }

std::string document(int number) {
  return fmt::format("{{\"number\":{},\"text\":\"{}\"}}", number, std::string(1500, 'x'));
}

void fill(Store& store) {
  if (store.latest_change().value() >= kJobs) return;
  int next = 0;
  const auto taken = store.take(
      []() -> Result<std::optional<std::string>> { return std::optional<std::string>(); },
      [&]() -> Result<std::optional<Bundle>> {
        if (next == kJobs) return std::optional<Bundle>();
        Bundle bundle;
        bundle.revisions.push_back(
            {.head = {.id = job_id(next), .change = next + 1}, .document = document(next)});
        ++next;
        return std::optional<Bundle>(std::move(bundle));
      },
      Taking::kAllOrNothing);
  if (!taken.ok()) {
    fmt::print(stderr, "{}\n", taken.failure().text());
    std::exit(1);
  }
}

const std::string& place(bool server) {
  static const std::string file =
      (std::filesystem::temp_directory_path() / fmt::format("bight_bench_{}.db", ::getpid()))
          .string();
  static const std::string address =
      std::getenv("BIGHT_TEST_POSTGRESQL") != nullptr ? std::getenv("BIGHT_TEST_POSTGRESQL") : "";
  return server ? address : file;
}

Store* shop(bool server) {
  static std::array<std::unique_ptr<Store>, 2> shops;
  auto& store = shops[server ? 1 : 0];
  if (store == nullptr && !place(server).empty()) {
    auto opened = open_store(place(server), {.summarise = summary});
    if (!opened.ok()) return nullptr;
    store = std::move(opened).value();
    fill(*store);
    std::atexit([] {
      shops[0].reset();
      for (const char* end : {"", "-wal", "-shm"}) std::filesystem::remove(place(false) + end);
    });
  }
  return store.get();
}

constexpr std::array<const char*, 5> kQueries{"38.1 304 R114", "", "rail", "mull",
                                              "nothing like it"};

void search(benchmark::State& state) {
  Store* store = shop(state.range(0) != 0);
  if (store == nullptr) return state.SkipWithError("no server");
  const std::string query = kQueries[static_cast<std::size_t>(state.range(1))];
  std::int64_t total = store->find_parts({.words = query}).value().total;
  for (auto _ : state) total = store->find_parts({.words = query}).value().total;
  state.SetLabel(fmt::format("\"{}\": {} found", query, total));
}
BENCHMARK(search)
    ->ArgsProduct({{0, 1}, {0, 1, 2, 3, 4}})
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();

void first_search_after_opening(benchmark::State& state) {
  if (shop(state.range(0) != 0) == nullptr) return state.SkipWithError("no server");
  for (auto _ : state) {
    auto store = open_store(place(state.range(0) != 0), {.summarise = summary}).value().release();
    benchmark::DoNotOptimize(store->find_parts({.words = "38.1 304"}));
    state.PauseTiming();
    delete store;
    state.ResumeTiming();
  }
}
BENCHMARK(first_search_after_opening)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond)->UseRealTime();

void search_after_a_change(benchmark::State& state) {
  Store* store = shop(state.range(0) != 0);
  if (store == nullptr) return state.SkipWithError("no server");
  const auto other =
      std::move(open_store(place(state.range(0) != 0), {.summarise = summary})).value();
  for (auto _ : state) {
    state.PauseTiming();
    const auto revision = other->get(Kind::kPart, job_id(7)).value().head.revision;
    other->put({.id = job_id(7), .document = document(7), .expected_revision = revision});
    state.ResumeTiming();
    benchmark::DoNotOptimize(store->find_parts({.words = "38.1 304 R114"}));
  }
}
BENCHMARK(search_after_a_change)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond)->UseRealTime();

void put(benchmark::State& state) {
  Store* store = shop(state.range(0) != 0);
  if (store == nullptr) return state.SkipWithError("no server");
  auto revision = store->get(Kind::kPart, job_id(9)).value().head.revision;
  for (auto _ : state) {
    revision = store->put({.id = job_id(9), .document = document(9), .expected_revision = revision})
                   .result.value()
                   .head.revision;
  }
}
BENCHMARK(put)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond)->UseRealTime();

void get(benchmark::State& state) {
  Store* store = shop(state.range(0) != 0);
  if (store == nullptr) return state.SkipWithError("no server");
  for (auto _ : state) benchmark::DoNotOptimize(store->get(Kind::kPart, job_id(500)));
}
BENCHMARK(get)->Arg(0)->Arg(1)->Unit(benchmark::kMicrosecond)->UseRealTime();

void nothing_changed(benchmark::State& state) {
  Store* store = shop(state.range(0) != 0);
  if (store == nullptr) return state.SkipWithError("no server");
  for (auto _ : state) benchmark::DoNotOptimize(store->latest_change());
}
BENCHMARK(nothing_changed)->Arg(0)->Arg(1)->Unit(benchmark::kMicrosecond)->UseRealTime();

// What was weighed against the index in memory: the same folded words, in the database.
struct Rival {
  const char* name;
  bool server;
  const char* make;
  const char* query;
};
constexpr std::array<Rival, 4> kRivals{{
    {"SQLite LIKE", false, "SELECT 1",
     "SELECT count(*), max(id) FROM words WHERE words LIKE '%38.1%' AND words LIKE '%304%' AND "
     "words LIKE '%r114%'"},
    {"SQLite FTS5 trigram", false,
     "CREATE VIRTUAL TABLE IF NOT EXISTS grams USING fts5(words, tokenize = 'trigram')",
     "SELECT count(*), max(rowid) FROM grams WHERE words MATCH '\"38.1\" AND \"304\" AND "
     "\"r114\"'"},
    {"PostgreSQL LIKE", true, "SELECT 1",
     "SELECT count(*), max(id) FROM words WHERE words LIKE '%38.1%' AND words LIKE '%304%' AND "
     "words LIKE '%r114%'"},
    {"PostgreSQL pg_trgm", true, "CREATE EXTENSION IF NOT EXISTS pg_trgm",
     "SELECT count(*), max(id) FROM words WHERE words LIKE '%38.1%' AND words LIKE '%304%' AND "
     "words LIKE '%r114%'"},
}};

void make_words(soci::session& session, const Rival& rival) {
  run(session, "CREATE TABLE IF NOT EXISTS words (id INTEGER PRIMARY KEY, words TEXT NOT NULL)");
  if (number(session, "SELECT count(*) FROM words").value_or(0) == 0) {
    long long id = 0;
    std::string words;
    soci::statement insert =
        (session.prepare << "INSERT INTO words (id, words) VALUES (:id, :words)", soci::use(id),
         soci::use(words));
    for (; id < kJobs; ++id) {
      words = search_text(summary(document(static_cast<int>(id))));
      insert.execute(true);
    }
  }
  run(session, rival.make);
  const std::string name = rival.name;
  if (name == "SQLite FTS5 trigram" && number(session, "SELECT count(*) FROM grams") == 0) {
    run(session, "INSERT INTO grams (rowid, words) SELECT id, words FROM words");
  }
  if (name == "PostgreSQL pg_trgm") {
    run(session, "CREATE INDEX IF NOT EXISTS words_grams ON words USING gin (words gin_trgm_ops)");
  }
}

void rival(benchmark::State& state) {
  const Rival& way = kRivals[static_cast<std::size_t>(state.range(0))];
  if (shop(way.server) == nullptr) return state.SkipWithError("no server");
  const auto database = std::move(Database::open(place_named(place(way.server)).value())).value();
  const Status made = database->write([&way](soci::session& session) -> Status {
    make_words(session, way);
    return Done{};
  });
  if (!made.ok()) return state.SkipWithError(made.failure().message.c_str());
  std::int64_t found = 0;
  for (auto _ : state) {
    const Status asked = database->plain([&](soci::session& session) -> Status {
      found = number(session, way.query).value_or(0);
      return Done{};
    });
    if (!asked.ok()) return state.SkipWithError(asked.failure().message.c_str());
  }
  state.SetLabel(fmt::format("{}: {} found", way.name, found));
}
BENCHMARK(rival)->DenseRange(0, 3)->Unit(benchmark::kMillisecond)->UseRealTime();

}  // namespace

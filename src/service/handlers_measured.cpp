// A finished piece that was measured: what is keyed in for the next one, and whether it is good.
#include <nlohmann/json.hpp>
#include <variant>

#include "exchange/bench_json.h"
#include "exchange/measured_piece.h"
#include "geometry/centreline.h"
#include "inspection/agreed.h"
#include "papers/inspection_report.h"
#include "service/handlers.h"
#include "service/planning_request.h"

namespace bight::service {

using base::Failure;
using base::Result;

namespace {

// A measured piece with the plan of its part.
struct MeasuredRequest {
  planning::Plan plan;
  exchange::MeasuredPiece piece;
  base::LengthStyle style;
};

// The keys of a plan beside `measured`, the document of a measured piece.
std::variant<MeasuredRequest, Reply> read_measured_request(Context& context,
                                                           const Request& request) {
  const Result<Beside> beside = keys_beside(request, {"measured"});
  if (!beside.ok()) return failed(beside.failure());
  const auto found = beside->keys.value.find("measured");
  if (found == beside->keys.value.end() || !found->is_object()) {
    return failed(Failure{"key.missing", "measured", "nothing was measured",
                          "give the document of a measured piece"});
  }
  Result<exchange::MeasuredPiece> piece =
      exchange::read_measured_piece(exchange::document_of(*found, "measured"));
  if (!piece.ok()) return failed(piece.failure());
  std::variant<PlanningRequest, Reply> read = read_planning_request(context, beside->rest);
  if (std::holds_alternative<Reply>(read)) return std::get<Reply>(std::move(read));
  const PlanningRequest& wish = std::get<PlanningRequest>(read);
  Result<planning::Plan> plan = planning::plan(wish.wish.part, wish.shop->shop, wish.wish.options);
  if (!plan.ok()) return failed(plan.failure());
  return MeasuredRequest{std::move(plan).value(), std::move(piece).value(),
                         wish.wish.options.style};
}

Result<Reply> corrected(const Request& request, const MeasuredRequest& asked) {
  BIGHT_TRY(const base::Done query, only_asked(request, {}));
  static_cast<void>(query);
  BIGHT_TRY(const planning::BenchCorrection correction,
            planning::correct_piece(asked.plan, asked.piece.measured));
  return json_reply(exchange::correction_json(asked.plan, correction, asked.piece.measured));
}

Result<Reply> report(const Request& request, const MeasuredRequest& asked,
                     const inspection::Inspection& inspection,
                     const inspection::Agreement& agreement) {
  BIGHT_TRY(const std::string paper, asked_word(request, "paper", {"a4", "letter"}));
  papers::SheetOptions options;
  options.paper = paper == "letter" ? papers::Paper::kLetter : papers::Paper::kA4;
  options.length = asked.style;
  const std::string today = time_text(records::SystemClock().now()).substr(0, 10);
  options.date = request.asked("date").value_or(today).substr(0, 40);
  const exchange::MeasuredPiece& piece = asked.piece;
  const papers::ReportInput input{asked.plan, piece.measured, inspection, agreement,
                                  piece.heat, piece.date,     piece.who,  piece.gauge};
  BIGHT_TRY(std::vector<std::string> files,
            papers::report_files(input, options, papers::Format::kPdf));
  Reply reply = bytes_reply(std::move(files.front()), "application/pdf");
  reply.headers.emplace_back("Content-Disposition", "inline; filename=\"inspection.pdf\"");
  return reply;
}

Result<Reply> inspected(const Request& request, const MeasuredRequest& asked) {
  BIGHT_TRY(const base::Done query, only_asked(request, {"format", "paper", "date"}));
  static_cast<void>(query);
  BIGHT_TRY(const std::string format, asked_word(request, "format", {"json", "pdf"}));
  const planning::Plan& plan = asked.plan;
  const std::size_t num_points = geometry::corner_points_mm(plan.bent_table).size();
  BIGHT_TRY(const inspection::Agreement agreement,
            inspection::agreement_of(plan.part, num_points, {asked.piece.agreed}));
  BIGHT_TRY(const inspection::Inspection inspection,
            inspection::inspect(plan.part, plan.bent_table, asked.piece.measured, agreement));
  if (format == "pdf") return report(request, asked, inspection, agreement);
  return json_reply(
      exchange::inspection_json(plan.part, inspection, agreement, asked.piece.measured));
}

using MeasuredAnswer = Result<Reply> (*)(const Request&, const MeasuredRequest&);

Handler measured_handler(Context& context, MeasuredAnswer answer) {
  return [&context, answer](const Request& request) {
    std::variant<MeasuredRequest, Reply> read = read_measured_request(context, request);
    if (std::holds_alternative<Reply>(read)) return std::get<Reply>(std::move(read));
    Result<Reply> reply = answer(request, std::get<MeasuredRequest>(read));
    return reply.ok() ? std::move(reply).value() : failed(reply.failure());
  };
}

}  // namespace

void add_measured(Router& router, Context& context) {
  add_heavy(router, "/correct", measured_handler(context, corrected));
  add_heavy(router, "/inspect", measured_handler(context, inspected));
}

}  // namespace bight::service

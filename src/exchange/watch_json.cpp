#include "exchange/watch_json.h"

#include <cmath>

namespace bight::exchange {

using nlohmann::ordered_json;
using running::Index;
using running::StepWatch;

namespace {

ordered_json number_or_null(double value) {
  return std::isfinite(value) ? ordered_json(value) : ordered_json(nullptr);
}

ordered_json interval_json(const running::Interval& interval) {
  return ordered_json::array({number_or_null(interval.low), number_or_null(interval.high)});
}

ordered_json index_json(const std::optional<Index>& index) {
  if (!index) return nullptr;
  return {{"value", number_or_null(index->value)}, {"interval", interval_json(index->interval)}};
}

ordered_json charts_json(const StepWatch& watch) {
  ordered_json out = {{"sigma", watch.base.sigma}};
  if (watch.individuals) {
    out["upper"] = watch.individuals->upper;
    out["lower"] = watch.individuals->lower;
    out["range_mean"] = watch.individuals->range_mean;
    out["range_upper"] = watch.individuals->range_upper;
    out["ranges"] = watch.individuals->ranges;
  }
  if (watch.ewma) {
    out["smoothed"] = watch.ewma->smoothed;
    out["smoothed_upper"] = watch.ewma->upper;
    out["smoothed_lower"] = watch.ewma->lower;
    out["weight"] = watch.ewma->options.weight_ratio;
    out["width"] = watch.ewma->options.limit_sigmas;
  }
  return out;
}

ordered_json advice_json(const running::Advice& advice) {
  ordered_json out = {{"call", running::call_name(advice.call)},
                      {"reasons", advice.reasons},
                      {"measure_piece", advice.measure_piece}};
  if (advice.shift_set_deg) out["shift_set"] = *advice.shift_set_deg;
  if (advice.suspects) out["suspects"] = {advice.suspects->first, advice.suspects->second};
  return out;
}

ordered_json variance_json(const running::VarianceLine& line) {
  return {{"squares", line.squares}, {"freedom", line.freedom}, {"mean", line.mean_square()}};
}

ordered_json scatter_json(const running::Scatter& scatter) {
  return {{"sigma", number_or_null(scatter.sigma)}, {"interval", interval_json(scatter.interval)}};
}

}  // namespace

ordered_json capability_json(const running::Capability& capability) {
  return {{"count", capability.count},
          {"mean", capability.mean},
          {"sigma_within", capability.sigma_within},
          {"sigma_overall", capability.sigma_overall},
          {"share", capability.share_ratio},
          {"cp", index_json(capability.cp)},
          {"cpk", index_json(capability.cpk)},
          {"pp", index_json(capability.pp)},
          {"ppk", index_json(capability.ppk)},
          {"beyond", capability.beyond_ratio}};
}

ordered_json watch_json(const StepWatch& watch) {
  ordered_json out = {{"step", watch.step}, {"from_piece", watch.from_piece}, {"heat", watch.heat}};
  out["readings"] = ordered_json::array();
  for (const running::WatchedReading& reading : watch.readings) {
    out["readings"].push_back({{"piece", reading.piece}, {"off", reading.off_deg}});
  }
  out["chart"] = charts_json(watch);
  out["signals"] = ordered_json::array();
  for (const running::Signal& signal : watch.signals) {
    out["signals"].push_back({{"piece", watch.readings[signal.at].piece},
                              {"pattern", running::pattern_name(signal.pattern)},
                              {"words", running::pattern_words(signal.pattern)},
                              {"side", signal.side},
                              {"source", running::pattern_source(signal.pattern)}});
  }
  out["trend"] = nullptr;
  if (watch.trend) {
    out["trend"] = {{"per_piece", number_or_null(watch.trend->per_piece_deg)},
                    {"interval", interval_json(watch.trend->per_piece_interval_deg)},
                    {"level", number_or_null(watch.trend->level_deg)}};
  }
  out["capability"] = watch.capability ? capability_json(*watch.capability) : ordered_json(nullptr);
  out["springback"] = nullptr;
  if (watch.springback_deg) {
    out["springback"] = {{"smoothed", watch.springback_deg->centre},
                         {"sigma", watch.springback_deg->sigma}};
  }
  out["advice"] = advice_json(watch.advice);
  return out;
}

ordered_json gauge_json(const running::GaugeStudy& study) {
  ordered_json out = {{"people", study.num_people},
                      {"pieces", study.num_pieces},
                      {"trials", study.num_trials},
                      {"share", study.share_ratio},
                      {"repeatability", scatter_json(study.repeatability)},
                      {"reproducibility_sigma", study.reproducibility_sigma},
                      {"gauge", scatter_json(study.gauge)},
                      {"piece_sigma", study.piece_sigma},
                      {"total_sigma", study.total_sigma},
                      {"share_of_total", study.share_of_total_ratio},
                      {"distinct", study.distinct}};
  out["share_of_tolerance"] = study.share_of_tolerance_ratio
                                  ? ordered_json(*study.share_of_tolerance_ratio)
                                  : ordered_json(nullptr);
  out["variance"] = {{"people", variance_json(study.people)},
                     {"pieces", variance_json(study.pieces)},
                     {"interaction", variance_json(study.interaction)},
                     {"repeat", variance_json(study.repeat)},
                     {"total", variance_json(study.total)},
                     {"interaction_pooled", study.interaction_pooled}};
  out["offs"] = ordered_json::array();
  for (const running::PersonOff& off : study.offs) {
    out["offs"].push_back({{"person", off.person}, {"off", off.off}});
  }
  return out;
}

ordered_json trouble_json(const running::TroubleState& state) {
  ordered_json out = {
      {"symptom", state.symptom},
      {"question", state.question.empty() ? ordered_json(nullptr) : ordered_json(state.question)},
      {"asks", state.asks}};
  out["choices"] = ordered_json::array();
  for (const running::TroubleChoice& choice : state.choices) {
    out["choices"].push_back({{"answer", choice.answer}, {"means", choice.means}});
  }
  out["change"] = nullptr;
  if (!state.change.empty()) {
    out["change"] = {
        {"what", state.change}, {"how", state.how}, {"source", state.source}, {"mark", state.mark}};
  }
  out["undo_first"] = state.undo_first;
  out["solved"] = state.solved;
  out["exhausted"] = state.exhausted;
  out["log"] = state.log;
  return out;
}

}  // namespace bight::exchange

#include "exchange/watch_json.h"

#include <cmath>

namespace bight::exchange {

using nlohmann::ordered_json;
using running::Index;
using running::StepWatch;

namespace {

ordered_json number(double value) {
  return std::isfinite(value) ? ordered_json(value) : ordered_json(nullptr);
}

ordered_json interval_json(const running::Interval& interval) {
  return ordered_json::array({number(interval.low), number(interval.high)});
}

ordered_json index_json(const std::optional<Index>& index) {
  if (!index) return nullptr;
  return {{"value", number(index->value)}, {"interval", interval_json(index->interval)}};
}

ordered_json charts_json(const StepWatch& watch) {
  ordered_json json = {{"sigma", watch.base.sigma}};
  if (watch.individuals) {
    json["upper"] = watch.individuals->upper;
    json["lower"] = watch.individuals->lower;
    json["range_mean"] = watch.individuals->range_mean;
    json["range_upper"] = watch.individuals->range_upper;
    json["ranges"] = watch.individuals->ranges;
  }
  if (watch.ewma) {
    json["smoothed"] = watch.ewma->smoothed;
    json["smoothed_upper"] = watch.ewma->upper;
    json["smoothed_lower"] = watch.ewma->lower;
    json["weight"] = watch.ewma->options.weight_ratio;
    json["width"] = watch.ewma->options.limit_sigmas;
  }
  return json;
}

ordered_json advice_json(const running::Advice& advice) {
  ordered_json json = {{"call", running::call_name(advice.call)},
                       {"reasons", advice.reasons},
                       {"measure_piece", advice.measure_piece}};
  if (advice.shift_set_deg) json["shift_set"] = *advice.shift_set_deg;
  if (advice.suspects) json["suspects"] = {advice.suspects->first, advice.suspects->second};
  return json;
}

ordered_json variance_json(const running::VarianceLine& line) {
  return {{"squares", line.squares}, {"freedom", line.freedom}, {"mean", line.mean_square()}};
}

ordered_json scatter_json(const running::Scatter& scatter) {
  return {{"sigma", number(scatter.sigma)}, {"interval", interval_json(scatter.interval)}};
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
  ordered_json json = {
      {"step", watch.step}, {"from_piece", watch.from_piece}, {"heat", watch.heat}};
  json["readings"] = ordered_json::array();
  for (const running::WatchedReading& reading : watch.readings) {
    json["readings"].push_back({{"piece", reading.piece}, {"off", reading.off_deg}});
  }
  json["chart"] = charts_json(watch);
  json["signals"] = ordered_json::array();
  for (const running::Signal& signal : watch.signals) {
    json["signals"].push_back({{"piece", watch.readings[signal.at].piece},
                               {"pattern", running::pattern_name(signal.pattern)},
                               {"words", running::pattern_words(signal.pattern)},
                               {"side", signal.side},
                               {"source", running::pattern_source(signal.pattern)}});
  }
  json["trend"] = nullptr;
  if (watch.trend) {
    json["trend"] = {{"per_piece", number(watch.trend->per_piece_deg)},
                     {"interval", interval_json(watch.trend->per_piece_interval_deg)},
                     {"level", number(watch.trend->level_deg)}};
  }
  json["capability"] =
      watch.capability ? capability_json(*watch.capability) : ordered_json(nullptr);
  json["springback"] = nullptr;
  if (watch.springback_deg) {
    json["springback"] = {{"smoothed", watch.springback_deg->centre},
                          {"sigma", watch.springback_deg->sigma}};
  }
  json["advice"] = advice_json(watch.advice);
  return json;
}

ordered_json gauge_json(const running::GaugeStudy& study) {
  ordered_json json = {{"people", study.num_people},
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
  json["share_of_tolerance"] = study.share_of_tolerance_ratio
                                   ? ordered_json(*study.share_of_tolerance_ratio)
                                   : ordered_json(nullptr);
  json["variance"] = {{"people", variance_json(study.people)},
                      {"pieces", variance_json(study.pieces)},
                      {"interaction", variance_json(study.interaction)},
                      {"repeat", variance_json(study.repeat)},
                      {"total", variance_json(study.total)},
                      {"interaction_pooled", study.interaction_pooled}};
  json["offs"] = ordered_json::array();
  for (const running::PersonOff& off : study.offs) {
    json["offs"].push_back({{"person", off.person}, {"off", off.off}});
  }
  return json;
}

ordered_json trouble_json(const running::TroubleState& state) {
  ordered_json json = {
      {"symptom", state.symptom},
      {"question", state.question.empty() ? ordered_json(nullptr) : ordered_json(state.question)},
      {"asks", state.asks}};
  json["choices"] = ordered_json::array();
  for (const running::TroubleChoice& choice : state.choices) {
    json["choices"].push_back({{"answer", choice.answer}, {"means", choice.means}});
  }
  json["change"] = nullptr;
  if (!state.change.empty()) {
    json["change"] = {
        {"what", state.change}, {"how", state.how}, {"source", state.source}, {"mark", state.mark}};
  }
  json["undo_first"] = state.undo_first;
  json["solved"] = state.solved;
  json["exhausted"] = state.exhausted;
  json["log"] = state.log;
  return json;
}

}  // namespace bight::exchange

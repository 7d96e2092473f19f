#include "service/jobs.h"

#include <sodium.h>

#include <nlohmann/json.hpp>
#include <vector>

#include "records/record.h"

namespace bight::service {

using base::Failure;
using Json = nlohmann::ordered_json;
using SteadyClock = std::chrono::steady_clock;

namespace {

std::string fresh_id() {
  std::uint64_t bits = 0;
  randombytes_buf(&bits, sizeof bits);
  return records::RecordId::fresh(records::SystemClock().now(), bits).text();
}

Failure no_such(const std::string& id) {
  return {"job.none", id, "there is no such job", "results are kept for ten minutes"};
}

}  // namespace

void JobWatch::tell(std::string stage, std::optional<double> progress) {
  const std::lock_guard lock(mutex_);
  stage_ = std::move(stage);
  progress_ = progress;
}

Reply Jobs::run(Work work, std::chrono::milliseconds patience) {
  const auto job = std::make_shared<Job>();
  job->start = SteadyClock::now();
  std::string id;
  {
    const std::lock_guard lock(mutex_);
    forget_old();
    std::size_t running = 0;
    for (const auto& [name, other] : jobs_) {
      if (!other->end) ++running;
    }
    if (running >= kMostJobs) {
      return failed(
          {"request.busy", "", "other long work is being done just now", "try again in a moment"});
    }
    while (id.empty() || jobs_.contains(id)) id = fresh_id();
    jobs_[id] = job;
    job->thread = std::thread([this, job, work = std::move(work)] {
      Reply reply = work(job->watch);
      const std::lock_guard done_lock(mutex_);
      job->reply = std::move(reply);
      job->end = SteadyClock::now();
      done_.notify_all();
    });
  }
  std::unique_lock lock(mutex_);
  if (!done_.wait_for(lock, patience, [&] { return job->end.has_value(); })) {
    return json_reply({{"job", id}}, 202);
  }
  Reply reply = std::move(*job->reply);
  // Who takes the job out of the list waits for its thread: end_all may have been here before.
  const bool ours = jobs_.erase(id) > 0;
  lock.unlock();
  if (ours) job->thread.join();
  return reply;
}

Reply Jobs::look(const std::string& id) {
  const std::lock_guard lock(mutex_);
  const auto found = jobs_.find(id);
  if (found == jobs_.end()) return failed(no_such(id));
  const Job& job = *found->second;
  Json json = {{"job", id}};
  const bool good = job.reply && job.reply->status < 400;
  json["state"] = !job.end                ? "running"
                  : job.watch.cancelled() ? "cancelled"
                  : good                  ? "done"
                                          : "failed";
  {
    const std::lock_guard watch_lock(job.watch.mutex_);
    json["stage"] = job.watch.stage_;
    json["progress"] = job.watch.progress_ ? Json(*job.watch.progress_) : Json(nullptr);
  }
  json["seconds"] =
      std::chrono::duration<double>(job.end.value_or(SteadyClock::now()) - job.start).count();
  if (job.end && !job.watch.cancelled()) {
    const Json body = Json::parse(job.reply->body, nullptr, false);
    if (good) {
      json["result"] = body;
    } else {
      json["error"] = body.at("error");
    }
  }
  return json_reply(json);
}

Reply Jobs::cancel(const std::string& id) {
  const std::lock_guard lock(mutex_);
  const auto found = jobs_.find(id);
  if (found == jobs_.end()) return failed(no_such(id));
  found->second->watch.cancelled_ = true;
  Reply reply;
  reply.status = 204;
  return reply;
}

void Jobs::forget_old() {
  const auto now = SteadyClock::now();
  std::erase_if(jobs_, [&](auto& entry) {
    Job& job = *entry.second;
    if (!job.end || now - *job.end < (job.watch.cancelled() ? std::chrono::minutes(1) : kJobKept)) {
      return false;
    }
    job.thread.join();  // it has said that it is done
    return true;
  });
}

void Jobs::end_all() {
  std::vector<std::shared_ptr<Job>> all;
  {
    const std::lock_guard lock(mutex_);
    for (auto& [id, job] : jobs_) {
      job->watch.cancelled_ = true;
      all.push_back(job);
    }
    jobs_.clear();
  }
  for (const auto& job : all) job->thread.join();
}

}  // namespace bight::service

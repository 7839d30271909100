// A station on paper: it notes what it is asked and answers as it is told.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "station/web/station_control.hpp"

namespace padtrim::web {

class DeskOnPaper : public StationControl {
  public:
    answers::StationStatus status() const override { return status_; }
    std::uint64_t version() const override { return version_; }
    const answers::EventLog& events() const override { return log_; }
    answers::StationTally tally() const override { return tally_; }
    const language::Plan& plan() const override { return plan_; }
    const std::vector<answers::LyingUnit>& lying() const override { return lying_; }
    const std::string& records() const override { return records_; }
    answers::StartReport start_report() const override { return report_; }
    Decision put_aside(std::uint16_t nest, std::string person) override {
        put_aside_.emplace_back(nest, person);
        return decision_;
    }
    Decision start_lot(StartRequest request) override {
        started_.push_back(request);
        return decision_;
    }
    Decision stop_lot() override {
        ++stops_;
        return decision_;
    }
    Decision start_shift_check(std::string person) override {
        checked_by_ = person;
        return decision_;
    }
    std::optional<record::ShiftCheck> newest_shift_check() const override { return check_; }
    Decision abort_nest(std::uint16_t nest) override {
        aborted_.push_back(nest);
        return nest > 4 ? Decision{Outcome::unknown, "No such nest.", ""} : decision_;
    }
    Decision load_nest(std::uint16_t, std::string label) override {
        labels_.push_back(label);
        return decision_;
    }
    Decision answer_nest(std::uint16_t nest, bool yes) override {
        answers_.emplace_back(nest, yes);
        return decision_;
    }
    std::function<Decision()> disposal(DisposeRequest request) override {
        return [this, request] {
            disposed_.push_back(request);
            return decision_;
        };
    }
    std::function<Decision()> alarm_reply(AlarmReplyRequest request) override {
        return [this, request] {
            replied_.push_back(request);
            return decision_;
        };
    }
    std::function<Decision()> freezing(FreezeRequest request) override {
        return [this, request] {
            frozen_.push_back(request);
            return decision_;
        };
    }
    std::function<Decision()> sampling_result(SamplingResultRequest request) override {
        return [this, request] {
            sampled_.push_back(request);
            return decision_;
        };
    }
    Decision clear_fault(std::string person) override {
        cleared_by_ = person;
        return decision_;
    }

    answers::StationStatus status_;
    std::uint64_t version_ = 1;
    answers::EventLog log_;
    answers::StationTally tally_;
    language::Plan plan_;
    std::string records_ = "no such file";
    std::vector<answers::LyingUnit> lying_;
    answers::StartReport report_;
    std::vector<std::pair<std::uint16_t, std::string>> put_aside_;
    Decision decision_{Outcome::accepted, "It runs.", ""};
    std::vector<StartRequest> started_;
    std::vector<std::uint16_t> aborted_;
    std::vector<std::string> labels_;
    std::vector<std::pair<std::uint16_t, bool>> answers_;
    std::vector<DisposeRequest> disposed_;
    std::vector<AlarmReplyRequest> replied_;
    std::vector<FreezeRequest> frozen_;
    std::vector<SamplingResultRequest> sampled_;
    std::string cleared_by_, checked_by_;
    std::optional<record::ShiftCheck> check_;
    int stops_ = 0;
};

}  // namespace padtrim::web

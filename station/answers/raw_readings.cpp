#include "station/answers/raw_readings.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

namespace padtrim::answers {
namespace {

using RawArray = boost::json::array;
using RawObject = boost::json::object;

double in_ms(std::int64_t microseconds) {
    return static_cast<double>(microseconds) / 1000.0;
}

Json pose_json(const std::optional<record::FingerPose>& pose) {
    if (!pose) return nullptr;
    return RawObject{{"key", pose->key},
                     {"x_mm", number(pose->x.value())},
                     {"y_mm", number(pose->y.value())},
                     {"z_mm", number(pose->z.value())},
                     {"touching", pose->touching}};
}

Json readings_json(const record::Readings& readings) {
    const auto& held = readings.situation;
    RawArray channels, scans;
    for (const auto channel : held.channels) channels.push_back(channel);
    for (const auto& scan : readings.scans) {
        RawArray counts;
        for (const auto count : scan.counts) counts.push_back(count);
        scans.push_back(RawObject{{"at_ms", in_ms(scan.at_us)},
                                  {"counter", scan.counter},
                                  {"counts", std::move(counts)}});
    }
    const bool raw = held.reading == record::Reading::raw;
    return RawObject{{"step", readings.step},
                     {"reference", held.reference},
                     {"channels", std::move(channels)},
                     {"pins_connected", held.pins_connected},
                     {"test_mode", held.test_mode},
                     {"reading", raw ? "raw" : "corrected"},
                     {"finger", pose_json(held.finger)},
                     {"scans", std::move(scans)}};
}

}  // namespace

Json to_json(const record::Observations& observations) {
    RawArray readings, faults, asked;
    for (const auto& one : observations.readings) readings.push_back(readings_json(one));
    for (const auto& fault : observations.faults)
        faults.push_back(RawObject{{"step", fault.step}, {"what", fault.what}});
    for (const auto& answer : observations.answers) {
        asked.push_back(RawObject{{"question", answer.question},
                                  {"at_ms", in_ms(answer.at_us)},
                                  {"yes", answer.yes ? Json(*answer.yes) : Json(nullptr)}});
    }
    const auto& identity = observations.identity;
    return RawObject{{"nest", observations.nest},
                     {"label", identity ? identity->label : ""},
                     {"firmware", identity ? identity->firmware : ""},
                     {"aborted", observations.aborted},
                     {"readings", std::move(readings)},
                     {"faults", std::move(faults)},
                     {"answers", std::move(asked)}};
}

}  // namespace padtrim::answers

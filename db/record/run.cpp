#include "db/record/run.hpp"

namespace padtrim::record {

std::string_view name_of(PermissionKind kind) {
    switch (kind) {
        case PermissionKind::none:
            return "none";
        case PermissionKind::released:
            return "released";
        case PermissionKind::permit:
            return "permit";
        case PermissionKind::draft:
            return "draft";
    }
    return "";
}

std::string_view name_of(WriteStage stage) {
    switch (stage) {
        case WriteStage::untouched:
            return "untouched";
        case WriteStage::intended:
            return "intended";
        case WriteStage::written:
            return "written";
        case WriteStage::read_back:
            return "read back";
        case WriteStage::committed:
            return "committed";
        case WriteStage::power_cycled:
            return "power-cycled";
        case WriteStage::verified:
            return "verified";
    }
    return "";
}

}  // namespace padtrim::record

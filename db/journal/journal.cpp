#include "db/journal/journal.hpp"

namespace padtrim::journal {

std::string_view name_of(StoreFaultKind kind) {
    switch (kind) {
        case StoreFaultKind::missing:
            return "missing";
        case StoreFaultKind::read_only:
            return "read-only";
        case StoreFaultKind::locked:
            return "locked";
        case StoreFaultKind::newer_schema:
            return "newer schema";
        case StoreFaultKind::full:
            return "full";
        case StoreFaultKind::broken:
            return "broken";
    }
    return "";
}

}  // namespace padtrim::journal

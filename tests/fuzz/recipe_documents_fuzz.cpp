// libFuzzer harness for the readers of the three documents and of plans. The first byte chooses the
// reader. Whatever comes in: no crash, and every message has a place and a mend; what was read
// reads back from its own canonical text.
#include <cstdint>
#include <cstdlib>
#include <string>

#include "recipes/language/load.hpp"

namespace {

using namespace padtrim::language;
using padtrim::document::Diagnostic;

void expect(bool holds) {
    if (!holds) std::abort();
}

void expect_told(const std::vector<Diagnostic>& diagnostics) {
    for (const auto& each : diagnostics) {
        expect(each.line >= 1 && each.column >= 1);
        expect(!each.message.empty() && !each.mend.empty());
        expect(!padtrim::document::text_of(each).empty());
    }
}

template <class T>
void expect_value_or_reason(const ReadDocument<T>& read) {
    expect(read.value.has_value() == read.diagnostics.empty());
    expect_told(read.diagnostics);
}

void try_plan(const std::string& text) {
    const auto loaded = read_plan(text);
    expect((loaded.plan != nullptr) == loaded.diagnostics.empty());
    expect_told(loaded.diagnostics);
    if (loaded.plan == nullptr) return;
    const auto again = read_plan(plan_text(*loaded.plan));
    expect(again.plan != nullptr);
    expect(again.plan->recipe == loaded.plan->recipe && again.plan->map == loaded.plan->map &&
           again.plan->fixture == loaded.plan->fixture);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    const std::string text(reinterpret_cast<const char*>(data) + 1, size - 1);
    switch (data[0] % 4) {
        case 0:
            expect_value_or_reason(read_recipe(text, "recipe.toml"));
            break;
        case 1:
            expect_value_or_reason(read_register_map(text, "map.toml"));
            break;
        case 2:
            expect_value_or_reason(read_fixture_profile(text, "fixture.toml"));
            break;
        default:
            try_plan(text);
    }
    return 0;
}

// Writes of a register map: none of them lands on a value, and each does one thing.
#include <map>

#include "recipes/language/check_documents.hpp"
#include "recipes/language/paths.hpp"
#include "recipes/language/register_extent.hpp"
#include "recipes/language/words.hpp"

namespace padtrim::language {
namespace {

using document::Document;

struct Write {
    std::string path;
    const Command* command;
};

void add(std::vector<Write>& writes, const std::string& path,
         const std::vector<Command>& commands) {
    for (std::size_t i = 0; i < commands.size(); ++i)
        writes.push_back({item_path(path, i), &commands[i]});
}

std::vector<Write> all_writes(const RegisterMap& map) {
    std::vector<Write> writes;
    add(writes, "test_mode.enter", map.enter_test_mode);
    add(writes, "test_mode.leave", map.leave_test_mode);
    writes.push_back({"scan.trigger", &map.scan_trigger});
    add(writes, "trims.unlock", map.unlock);
    add(writes, "trims.commit", map.commit);
    add(writes, "trims.restart", map.restart);
    return writes;
}

void check_coil_values(Document& document, const std::vector<Write>& writes) {
    for (const auto& [path, command] : writes)
        if (command->table == RegisterTable::coil && command->value > 1 &&
            document.sound(path + ".value"))
            document.complain(path + ".value", "a coil holds 0 or 1", "Write one of them.");
}

// A trigger on a trim would change the unit with every scan.
void check_apart_from_values(Document& document, const RegisterMap& map,
                             const std::vector<Write>& writes) {
    if (!document.sound("channels") || !document.sound("frequencies") || !document.sound("key"))
        return;
    std::map<std::pair<RegisterTable, std::uint32_t>, const char*> owners;
    for (const auto& each : values_of(map))
        if (document.sound(each.path))
            for (const auto address : addresses_of(*each.where))
                owners.try_emplace({each.where->table, address}, each.path);
    for (const auto& [path, command] : writes) {
        const auto owner = owners.find({command->table, command->address});
        if (owner == owners.end() || !document.sound(path)) continue;
        document.complain(path,
                          "this writes to " + std::string(word_of(command->table)) + " address " +
                              std::to_string(command->address) + ", which belongs to " +
                              owner->second,
                          "Check both addresses.");
    }
}

bool same(const Command& a, const Command& b) {
    if (!a.say.empty() || !b.say.empty()) return a.say == b.say;
    return a.table == b.table && a.address == b.address && a.value == b.value;
}

// The last write of a sequence is the one that acts; keys before it may be the same for several.
void check_distinct(Document& document, const RegisterMap& map) {
    std::vector<Write> acts;
    const auto act = [&](const std::string& path, const std::vector<Command>& commands) {
        if (!commands.empty())
            acts.push_back({item_path(path, commands.size() - 1), &commands.back()});
    };
    act("test_mode.enter", map.enter_test_mode);
    act("test_mode.leave", map.leave_test_mode);
    acts.push_back({"scan.trigger", &map.scan_trigger});
    act("trims.commit", map.commit);
    for (std::size_t i = 0; i < acts.size(); ++i)
        for (std::size_t other = 0; other < i; ++other) {
            if (!same(*acts[i].command, *acts[other].command)) continue;
            if (!document.sound(acts[i].path) || !document.sound(acts[other].path)) continue;
            const auto& path = acts[other].path;
            document.complain(
                acts[i].path,
                "this is the write that already stands in " + path.substr(0, path.find('[')),
                "A product cannot tell the two apart: check address and value.");
        }
}

// Power would be taken away before the trims are stored.
void check_commit_ends(Document& document, const RegisterMap& map) {
    if (map.commit_done || map.commit_time.count() > 0 || !document.sound("trims.commit_done") ||
        !document.sound("trims.commit_time"))
        return;
    document.complain("trims.commit_time", "nothing says when the trims are stored",
                      "Write the longest time that it takes, or add commit_done.");
}

}  // namespace

void check_commands(Document& document, const RegisterMap& map) {
    const auto writes = all_writes(map);
    if (!map.lines) {
        check_coil_values(document, writes);
        check_apart_from_values(document, map, writes);
    }
    check_distinct(document, map);
    check_commit_ends(document, map);
}

}  // namespace padtrim::language

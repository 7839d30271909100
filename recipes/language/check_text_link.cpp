// Lines of a product that talks in text: every quantity has them, and their forms have the places
// that it needs. For other products: none is there.
#include <initializer_list>

#include "recipes/language/check_documents.hpp"
#include "recipes/language/paths.hpp"
#include "recipes/language/register_extent.hpp"
#include "recipes/language/text_form.hpp"

namespace padtrim::language {
namespace {

using document::Document;

// False, with a message, when the text is no form.
bool check_form(Document& document, const std::string& path, const std::string& text) {
    if (!document.sound(path)) return false;
    const auto parsed = parse_form(text);
    if (!parsed.good()) document.complain(path, parsed.problem, parsed.mend);
    return parsed.good();
}

void want_slot(Document& document, const std::string& path, const std::string& text,
               std::initializer_list<Slot> any_of, const std::string& mend) {
    if (!check_form(document, path, text)) return;
    const auto form = form_of(text);
    for (const Slot slot : any_of)
        if (form.has(slot)) return;
    document.complain(path, "this line has no place for its value", mend);
}

void check_quantity(Document& document, const NamedRegister& each) {
    const std::string path = each.path;
    if (!document.sound(path)) return;
    if (each.where->ask.empty())
        return document.complain(path, "this product talks in lines, and an address stands here",
                                 "Write ask = \"...\" and reply = \"...\".");
    if (check_form(document, path + ".ask", each.where->ask) &&
        form_of(each.where->ask).has_places()) {
        return document.complain(path + ".ask",
                                 "this question is sent as it stands, and has places in it",
                                 "Ask for all channels at once, and read their values with "
                                 "{values}.");
    }
    if (each.where->cell == Cell::ascii)
        return want_slot(document, path + ".reply", each.where->reply, {Slot::text},
                         "Write {text} where it stands.");
    if (each.where->cells == 1)
        return want_slot(document, path + ".reply", each.where->reply,
                         {Slot::value, Slot::values, Slot::bits}, "Write {value} where it stands.");
    want_slot(document, path + ".reply", each.where->reply, {Slot::values, Slot::bits},
              "Write {values}, or {bits} for a row of 0 and 1, where they stand.");
}

void check_command(Document& document, const std::string& path, const Command& command) {
    if (!document.sound(path)) return;
    if (command.say.empty())
        return document.complain(path, "this product talks in lines, and an address stands here",
                                 "Write say = \"...\" and reply = \"...\".");
    check_form(document, path + ".say", command.say);
    check_form(document, path + ".reply", command.reply);
}

void check_lines_sent(Document& document, const std::string& path,
                      const std::vector<Command>& commands) {
    for (std::size_t i = 0; i < commands.size(); ++i)
        check_command(document, item_path(path, i), commands[i]);
}

void check_trim_line(Document& document, const std::string& path, const TrimFormat& trim) {
    if (!document.sound(path)) return;
    if (trim.set.say.empty())
        return document.complain(path, "nothing says how this trim is written",
                                 "Add set = { say = \"GAIN {channel} {value}\", reply = \"OK\" }, "
                                 "say.");
    const auto say = path + ".set.say";
    check_form(document, path + ".set.reply", trim.set.reply);
    if (!check_form(document, say, trim.set.say)) return;
    const auto form = form_of(trim.set.say);
    if (form.has(Slot::values) || (form.has(Slot::channel) && form.has(Slot::value))) return;
    document.complain(say, "this line does not say which channel gets which value",
                      "Write {channel} and {value}, or {values} for all channels at once.");
}

// One question with one reply has one meaning.
void check_told_apart(Document& document, const RegisterMap& map) {
    const auto all = all_registers(map);
    for (std::size_t i = 0; i < all.size(); ++i)
        for (std::size_t k = 0; k < i; ++k) {
            const auto &one = *all[i].where, &other = *all[k].where;
            if (one.ask.empty() || one.ask != other.ask || one.reply != other.reply) continue;
            if (!document.sound(all[i].path) || !document.sound(all[k].path)) continue;
            document.complain(
                all[i].path, std::string("the same question and reply already tell ") + all[k].path,
                "Write the line that the product answers for this one.");
        }
}

void check_lines(Document& document, const RegisterMap& map) {
    if (!map.lines->refusal.empty()) check_form(document, "lines.refusal", map.lines->refusal);
    for (const auto& each : all_registers(map)) check_quantity(document, each);
    check_told_apart(document, map);
    check_command(document, "scan.trigger", map.scan_trigger);
    check_lines_sent(document, "test_mode.enter", map.enter_test_mode);
    check_lines_sent(document, "test_mode.leave", map.leave_test_mode);
    check_lines_sent(document, "trims.unlock", map.unlock);
    check_lines_sent(document, "trims.commit", map.commit);
    check_lines_sent(document, "trims.restart", map.restart);
    check_trim_line(document, "trims.gain", map.gain_trim);
    check_trim_line(document, "trims.offset", map.offset_trim);
}

void refuse_line(Document& document, const std::string& path, const std::string& line) {
    if (!line.empty() && document.sound(path))
        document.complain(
            path, "this is a line, and the product talks in Modbus RTU",
            "Add a [lines] table when the product talks in text, or give an address.");
}

}  // namespace

void check_text_link(Document& document, const RegisterMap& map) {
    if (map.lines) return check_lines(document, map);
    for (const auto& each : all_registers(map)) refuse_line(document, each.path, each.where->ask);
    refuse_line(document, "scan.trigger", map.scan_trigger.say);
    refuse_line(document, "trims.gain.set", map.gain_trim.set.say);
    refuse_line(document, "trims.offset.set", map.offset_trim.set.say);
    for (const auto& [path, commands] :
         {std::pair("test_mode.enter", &map.enter_test_mode),
          std::pair("test_mode.leave", &map.leave_test_mode),
          std::pair("trims.unlock", &map.unlock), std::pair("trims.commit", &map.commit),
          std::pair("trims.restart", &map.restart)})
        for (std::size_t i = 0; i < commands->size(); ++i)
            refuse_line(document, item_path(path, i), (*commands)[i].say);
}

}  // namespace padtrim::language

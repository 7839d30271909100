#include "station/main/alarms.hpp"

#include <algorithm>
#include <cstdio>
#include <exception>

#include <boost/asio/co_spawn.hpp>

#include "db/ledger/reader.hpp"
#include "fixtures/serial/clocks.hpp"
#include "station/answers/figures.hpp"
#include "station/answers/frozen_charts.hpp"
#include "station/answers/names.hpp"
#include "station/answers/printable.hpp"
#include "station/cli/plot.hpp"
#include "station/main/author_questions.hpp"
#include "station/main/ledger_act.hpp"
#include "station/main/output.hpp"

namespace padtrim {
namespace {

std::string alarms_sentence(std::size_t fresh) {
    if (fresh == 0) return "";
    return answers::counted(fresh, "new alarm") + " of control charts: padtrim alarms tells them.";
}

int tell_alarms(const cli::AlarmsCommand& command) {
    const auto reader = ledger::Reader::open(command.records);
    if (!reader) return give_up(reader.error());
    const auto told = answers::alarms_answer(**reader, !command.all);
    if (!told) return give_up(told.error());
    if (command.json) {
        print_line(answers::text_of(answers::to_json(*told)));
    } else if (command.csv) {
        const std::string csv = answers::csv_of(answers::sheet_of(*told).tables.front());
        std::fwrite(csv.data(), 1, csv.size(), stdout);
    } else {
        print_lines(cli::sheet_text(answers::sheet_of(*told), paper_of_stdout()));
    }
    const bool open = std::any_of(told->alarms.begin(), told->alarms.end(),
                                  [](const auto& alarm) { return !alarm.reply; });
    return open ? int{cli::some_did_not_pass} : int{cli::done};
}

int reply(const cli::AlarmsCommand& command) {
    const std::string wrong = answers::wrong_with_signature(command.who, command.why);
    if (!wrong.empty()) return complain({cli::bad_input, wrong});
    const record::AlarmReply said{serial::SystemWallClock().now(), command.who,
                                  answers::printable(command.why, 2000)};
    const auto kept = done_in_ledger<void>(command.records, [&](ledger::Ledger& ledger) {
        return ledger.reply_to_alarm(*command.reply, said);
    });
    if (!kept) return give_up(kept.error());
    if (!command.json)
        print_line("The reply to alarm " + std::to_string(*command.reply) + " is kept.");
    return tell_alarms(command);
}

}  // namespace

int freeze_charts(const cli::ChartCommand& command, const answers::ControlWish& wish,
                  const answers::ControlAnswer& charts) {
    std::string wrong = answers::wrong_with_signature(command.who, command.why);
    if (wrong.empty() && charts.by_day)
        wrong =
            "Of so many units each point is the mean of a day. Name a --lot, or a span with "
            "--since and --until, whose units' limits are to be kept.";
    if (wrong.empty() && wish.kind == answers::ControlKind::share)
        wrong = "A chart of shares cannot be frozen: its limits go with the size of each lot.";
    auto frozen =
        answers::charts_to_freeze(charts, wish, command.who, answers::printable(command.why, 2000),
                                  serial::SystemWallClock().now());
    if (wrong.empty() && frozen.empty())
        wrong =
            "No chart has limits that could be frozen: padtrim chart without --freeze says why.";
    if (!wrong.empty()) return complain({cli::bad_input, wrong});
    const std::size_t count = frozen.size();
    const auto kept = done_in_ledger<void>(command.of.records, [&](ledger::Ledger& ledger) {
        return ledger.freeze_charts(std::move(frozen));
    });
    if (!kept) return give_up(kept.error());
    print_line(answers::counted(count, "chart") + " frozen for recipe " +
               answers::printable(charts.recipe, 60) + ", revision " +
               answers::printable(charts.recipe_revision, 40) + ".");
    return cli::done;
}

int alarms(const cli::AlarmsCommand& command) {
    const auto reader = ledger::Reader::open(command.records);
    if (!reader) return give_up(reader.error());
    if (command.reply) return reply(command);
    const auto now = serial::SystemWallClock().now();
    const auto looked = done_in_ledger<std::size_t>(command.records, [&](ledger::Ledger& ledger) {
        return answers::look_and_keep(ledger, **reader, now);
    });
    // A station that holds the records looks by itself.
    if (!looked && looked.error().kind != journal::StoreFaultKind::locked)
        return give_up(looked.error());
    return tell_alarms(command);
}

boost::asio::awaitable<std::string> looked_after_lot(ledger::Ledger& ledger, std::string records) {
    const auto reader = ledger::Reader::open(records);
    if (!reader) co_return reader.error().what;
    const auto now = serial::SystemWallClock().now();
    const auto fresh = co_await answers::look_and_keep(ledger, **reader, now);
    if (!fresh) co_return fresh.error().what;
    co_return alarms_sentence(*fresh);
}

void look_after_lot(boost::asio::io_context& context, ledger::Ledger& ledger,
                    const std::string& records) {
    context.restart();
    boost::asio::co_spawn(context, looked_after_lot(ledger, records),
                          [](std::exception_ptr bug, const std::string& sentence) {
                              if (bug) std::rethrow_exception(bug);
                              if (!sentence.empty()) std::fprintf(stderr, "%s\n", sentence.c_str());
                          });
    context.run();
}

}  // namespace padtrim

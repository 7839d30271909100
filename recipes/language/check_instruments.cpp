// Instruments that talk SCPI, relay board and meter: what the profile says of their words.
#include <algorithm>

#include "recipes/language/check_documents.hpp"
#include "recipes/language/paths.hpp"

namespace padtrim::language {
namespace {

using document::Document;

constexpr std::size_t longest_text = 200;
constexpr const char* request_path = "relays.scpi.input_request";

bool sendable(const std::string& text) {
    return text.size() <= longest_text &&
           std::all_of(text.begin(), text.end(), [](char c) { return c >= ' ' && c <= '~'; });
}

// IEEE 488.2, 10.14: the reply to *IDN? has four fields.
void check_identity(Document& document, const std::string& identity_path,
                    const std::string& identity) {
    if (!document.sound(identity_path)) return;
    if (!sendable(identity) || std::count(identity.begin(), identity.end(), ',') > 3)
        return document.complain(identity_path,
                                 "this is no beginning of a reply to *IDN?, which has four fields",
                                 "Write \"maker,model\" as the instrument says it.");
    if (identity.find_first_not_of(" ,") == std::string::npos)
        document.complain(identity_path, "this identity fits every instrument",
                          "Write \"maker,model\" as the instrument says it.");
}

void check_input_request(Document& document, const RelayBoard& board) {
    if (!document.sound(request_path)) return;
    const std::string& request = board.scpi->input_request;
    if (request.empty()) {
        if (board.inputs > 0)
            document.complain("relays.scpi", "the board has inputs, and nothing says how to ask",
                              "Add input_request = \"...? {channels}\", or set inputs = 0.");
        return;
    }
    const auto first = request.find(input_channels);
    if (first == std::string::npos || request.find(input_channels, first + 1) != std::string::npos)
        return document.complain(request_path, "this query needs {channels} once",
                                 "Write it where the list of channels belongs.");
    if (!sendable(request) || request.find('?') == std::string::npos ||
        request.find(';') != std::string::npos)
        document.complain(request_path, "this is no query",
                          "Write one header with a question mark, and {channels} behind it.");
}

}  // namespace

void check_meter(Document& document, const TipMeter& meter) {
    if (!document.sound("meter")) return;
    check_identity(document, "meter.identity", meter.identity);
    for (std::size_t i = 0; i < meter.setup.size(); ++i)
        if (!sendable(meter.setup[i]) || meter.setup[i].find('?') != std::string::npos)
            document.complain(item_path("meter.setup", i), "this is no command",
                              "Write one line without a question mark, of printable ASCII.");
    if (!sendable(meter.read_request) || meter.read_request.find('?') == std::string::npos ||
        meter.read_request.find(';') != std::string::npos)
        document.complain("meter.read_request", "this is no query",
                          "Write one header with a question mark.");
}

void check_relay_board(Document& document, const RelayBoard& board) {
    if (!board.scpi || !document.sound("relays")) return;
    check_identity(document, "relays.scpi.identity", board.scpi->identity);
    check_input_request(document, board);
}

}  // namespace padtrim::language

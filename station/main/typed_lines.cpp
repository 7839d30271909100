#include "station/main/typed_lines.hpp"

#include <utility>

#include <boost/asio/read_until.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <fcntl.h>
#include <unistd.h>

namespace padtrim {

namespace asio = boost::asio;

namespace {

constexpr std::size_t longest_line = 4096;

std::string bare(const std::string& line) {
    const std::size_t begins = line.find_first_not_of(" \t\r\n");
    if (begins == std::string::npos) return "";
    return line.substr(begins, line.find_last_not_of(" \t\r\n") + 1 - begins);
}

}  // namespace

int own_descriptor(int descriptor) {
    const std::string path = "/proc/self/fd/" + std::to_string(descriptor);
    const int opened = ::open(path.c_str(), O_RDONLY | O_NOCTTY | O_CLOEXEC);
    return opened >= 0 ? opened : ::dup(descriptor);
}

TypedLines::TypedLines(asio::any_io_executor executor,
                       std::function<bool(const std::string&)> heard, std::function<void()> gone)
    : heard_(std::move(heard)),
      gone_(std::move(gone)),
      input_(executor),
      woken_(
          std::make_shared<asio::steady_timer>(executor, asio::steady_timer::time_point::max())) {}

asio::awaitable<void> TypedLines::read(int descriptor) {
    boost::system::error_code error;
    input_.assign(own_descriptor(descriptor), error);
    std::string buffer;
    while (!error && !closed_) {
        const std::size_t length =
            co_await asio::async_read_until(input_, asio::dynamic_buffer(buffer, longest_line),
                                            '\n', asio::redirect_error(asio::use_awaitable, error));
        if (error) break;
        const std::string line = bare(buffer.substr(0, length));
        buffer.erase(0, length);
        if (heard_(line)) continue;
        lines_.push_back(line);
        woken_->cancel();
    }
    if (!closed_) gone_();
    close();
}

asio::awaitable<std::optional<std::string>> TypedLines::next() {
    boost::system::error_code ignored;
    const auto woken = woken_;
    while (lines_.empty() && !closed_)
        co_await woken->async_wait(asio::redirect_error(asio::use_awaitable, ignored));
    if (lines_.empty()) co_return std::nullopt;
    std::string line = std::move(lines_.front());
    lines_.pop_front();
    co_return line;
}

void TypedLines::close() {
    closed_ = true;
    boost::system::error_code ignored;
    input_.close(ignored);
    woken_->cancel();
}

}  // namespace padtrim

#include "station/web/live_feed.hpp"

#include <boost/asio/redirect_error.hpp>
#include <boost/asio/use_awaitable.hpp>

namespace padtrim::web {

namespace asio = boost::asio;

// What one reader adds to the feed while it reads.
struct LiveFeed::Reading {
    explicit Reading(LiveFeed& of) : feed(of), timer(of.executor_) { feed.all_.insert(&timer); }
    ~Reading() {
        feed.all_.erase(&timer);
        feed.idle_.erase(&timer);
    }
    Reading(const Reading&) = delete;
    Reading& operator=(const Reading&) = delete;
    LiveFeed& feed;
    asio::steady_timer timer;
};

LiveFeed::Seat::Seat(std::shared_ptr<LiveFeed> feed, std::string login)
    : feed_(std::move(feed)), login_(std::move(login)) {
    ++feed_->readers_;
    if (!login_.empty()) ++feed_->of_login_[login_];
}

LiveFeed::Seat::~Seat() {
    if (feed_ == nullptr) return;
    --feed_->readers_;
    const auto at = feed_->of_login_.find(login_);
    if (at != feed_->of_login_.end() && --at->second == 0) feed_->of_login_.erase(at);
}

bool LiveFeed::full_for(const std::string& login) const {
    if (login.empty()) return false;
    const auto at = of_login_.find(login);
    return (at == of_login_.end() ? 0 : at->second) >= pace_.of_one_login;
}

LiveFeed::LiveFeed(asio::any_io_executor executor, Render render, LivePace pace)
    : executor_(std::move(executor)), render_(std::move(render)), pace_(pace) {}

void LiveFeed::changed() {
    ++version_;
    for (auto* timer : idle_) timer->cancel();
    idle_.clear();
}

void LiveFeed::close() {
    closed_ = true;
    for (auto* timer : all_) timer->cancel();
}

void LiveFeed::render_again() {
    auto text = std::make_shared<const std::string>("data: " + render_() + "\n\n");
    rendered_at_ = asio::steady_timer::clock_type::now();
    if (text_ && rendered_ == version_ && *text == *text_) return;
    if (text_ && rendered_ == version_) changed();
    text_ = std::move(text);
    rendered_ = version_;
}

std::shared_ptr<const std::string> LiveFeed::state() {
    const auto age = asio::steady_timer::clock_type::now() - rendered_at_;
    if (!text_ || rendered_ != version_ || age >= pace_.fresh) render_again();
    return text_;
}

asio::awaitable<void> LiveFeed::wait(asio::steady_timer& timer, std::chrono::milliseconds time) {
    timer.expires_after(time);
    boost::system::error_code ignored;
    co_await timer.async_wait(asio::redirect_error(asio::use_awaitable, ignored));
}

asio::awaitable<void> LiveFeed::serve(std::shared_ptr<LiveFeed> self, Seat seat, Write write) {
    static_cast<void>(seat);
    static const std::string beat = "event: beat\ndata:\n\n";
    Reading reading(*self);
    std::uint64_t sent = 0;
    while (!self->closed_) {
        const auto text = self->state();
        const bool news = sent != self->rendered_;
        sent = self->rendered_;
        const std::string& piece = news ? *text : beat;
        const bool there = co_await write(piece);
        if (!there || self->closed_) break;
        if (news) co_await self->wait(reading.timer, self->pace_.gap);
        if (self->closed_) break;
        if (sent != self->version_) continue;
        self->idle_.insert(&reading.timer);
        co_await self->wait(reading.timer, self->pace_.beat);
        self->idle_.erase(&reading.timer);
    }
}

}  // namespace padtrim::web

#include "station/main/daemon_file.hpp"

#include <array>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <utility>

#include <boost/json/object.hpp>
#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include "station/answers/json.hpp"

namespace padtrim {
namespace {

std::string path_for(const std::string& records) {
    return records + ".daemon";
}

std::string key_path_for(const std::string& daemon_file) {
    return daemon_file + "-key";
}

std::optional<DaemonPlace> place_in(const std::string& text) {
    const auto json = answers::parse_json(text);
    const auto* object = json ? json->if_object() : nullptr;
    const auto* station = object ? object->if_contains("station") : nullptr;
    const auto* port = object ? object->if_contains("port") : nullptr;
    if (!station || !station->is_string() || !port || !port->is_int64()) return std::nullopt;
    const auto number = port->get_int64();
    if (number < 1 || number > 65535) return std::nullopt;
    const auto* ports = object->if_contains("ports");
    return DaemonPlace{std::string(station->get_string()), static_cast<std::uint16_t>(number),
                       ports && ports->is_string() ? std::string(ports->get_string()) : "", ""};
}

}  // namespace

std::optional<DaemonPlace> find_daemon(const std::string& records) {
    const int file = ::open(path_for(records).c_str(), O_RDONLY | O_CLOEXEC);
    if (file < 0) return std::nullopt;
    const bool held = ::flock(file, LOCK_SH | LOCK_NB) != 0 && errno == EWOULDBLOCK;
    std::array<char, 4096> text{};
    const auto length = held ? ::read(file, text.data(), text.size()) : 0;
    ::close(file);
    if (length <= 0) return std::nullopt;
    auto place = place_in(std::string(text.data(), static_cast<std::size_t>(length)));
    std::ifstream key(key_path_for(path_for(records)));
    if (place) std::getline(key, place->key);
    return place;
}

std::variant<DaemonFile, GivesUp> DaemonFile::claim(const std::string& records) {
    const std::string path = path_for(records);
    const int file = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0644);
    if (file < 0) {
        return GivesUp{cli::bad_input, "The file " + path + " cannot be written (" +
                                           std::strerror(errno) +
                                           "). Give --records a folder that exists and is ours."};
    }
    if (::flock(file, LOCK_EX | LOCK_NB) == 0) return DaemonFile(path, file);
    ::close(file);
    return GivesUp{cli::station_fault,
                   "Another daemon writes " + records + ". Stop it first, or use other records."};
}

DaemonFile::DaemonFile(std::string path, int descriptor)
    : path_(std::move(path)), descriptor_(descriptor) {}

DaemonFile::DaemonFile(DaemonFile&& other) noexcept
    : path_(std::move(other.path_)), descriptor_(std::exchange(other.descriptor_, -1)) {}

DaemonFile::~DaemonFile() {
    if (descriptor_ < 0) return;
    ::unlink(key_path_for(path_).c_str());
    ::unlink(path_.c_str());
    ::close(descriptor_);
}

// A file of an earlier daemon may have other rights: it is made anew.
void DaemonFile::keep_key(const std::string& key) const {
    const std::string path = key_path_for(path_);
    ::unlink(path.c_str());
    const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    if (file < 0) return;
    const std::string line = key + "\n";
    [[maybe_unused]] const auto written = ::write(file, line.data(), line.size());
    ::close(file);
}

void DaemonFile::tell(const DaemonPlace& place) {
    keep_key(place.key);
    const answers::Json json = boost::json::object{{"station", place.station},
                                                   {"port", place.port},
                                                   {"ports", place.ports},
                                                   {"pid", static_cast<int>(::getpid())}};
    const std::string text = answers::text_of(json) + "\n";
    if (::ftruncate(descriptor_, 0) != 0) return;
    [[maybe_unused]] const auto written = ::pwrite(descriptor_, text.data(), text.size(), 0);
}

}  // namespace padtrim

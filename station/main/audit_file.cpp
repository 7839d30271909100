#include "station/main/audit_file.hpp"

#include <boost/json/object.hpp>
#include <fcntl.h>
#include <unistd.h>

#include "station/answers/json.hpp"

namespace padtrim {

AuditFile::AuditFile(std::string path, const StationLog& log) : path_(std::move(path)), log_(log) {}

void AuditFile::add(const web::AuditLine& line) const {
    const std::scoped_lock lock(mutex_);
    const answers::Json json = boost::json::object{{"at", answers::iso_8601(clock_.now())},
                                                   {"who", answers::text(line.who)},
                                                   {"what", answers::text(line.what)},
                                                   {"status", line.status}};
    const std::string text = answers::text_of(json) + "\n";
    const int file = ::open(path_.c_str(), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
    const bool written =
        file >= 0 && ::write(file, text.data(), text.size()) == static_cast<::ssize_t>(text.size());
    if (file >= 0) ::close(file);
    if (!written) log_.error("audit cannot be written: " + text);
}

}  // namespace padtrim

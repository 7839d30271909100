#include "station/main/wishes.hpp"

#include <filesystem>

#include "station/answers/names.hpp"

namespace padtrim {

std::optional<GivesUp> wrong_with_names(const cli::StationWish& of, const cli::RunCommand* run) {
    std::string wrong = answers::wrong_with_name("station", of.station);
    if (wrong.empty() && run != nullptr) wrong = answers::wrong_with_name("lot", run->lot);
    if (wrong.empty() && run != nullptr && !run->operator_name.empty())
        wrong = answers::wrong_with_name("operator", run->operator_name);
    if (wrong.empty()) return std::nullopt;
    return GivesUp{cli::bad_input, wrong};
}

std::optional<GivesUp> missing_ports(const std::string& directory) {
    std::error_code error;
    if (std::filesystem::is_directory(directory, error)) return std::nullopt;
    return GivesUp{cli::station_fault,
                   "There is no folder of ports " + directory +
                       ". Plug in the fixture's adapters, or give --ports the folder where the "
                       "profile's port names are found."};
}

std::optional<GivesUp> missing_log_folder(const cli::LogWish& log) {
    if (log.file.empty()) return std::nullopt;
    std::error_code error;
    const auto folder = std::filesystem::absolute(log.file).parent_path();
    if (std::filesystem::is_directory(folder, error)) return std::nullopt;
    return GivesUp{cli::bad_input, "--log: there is no folder " + folder.string() +
                                       ". Make it, or give another path."};
}

}  // namespace padtrim

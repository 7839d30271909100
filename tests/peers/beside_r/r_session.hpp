// GNU R asked from a test: base and stats only, nothing loaded from anywhere.
#pragma once

#include <cstdio>
#include <fstream>
#include <map>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "tests/support/temporary_folder.hpp"

namespace padtrim::peers {

inline std::string r_vector(const std::vector<double>& values) {
    std::ostringstream text;
    text.precision(17);
    text << "c(";
    for (std::size_t i = 0; i < values.size(); ++i) text << (i > 0 ? "," : "") << values[i];
    text << ")";
    return text.str();
}

// Runs `script`, which tells each number by say(name, value).
inline std::map<std::string, double> asked_r(const std::string& script) {
    const support::TemporaryFolder folder;
    const std::string file = folder.file("question.R");
    std::ofstream(file) << "say <- function(name, value) cat(name, sprintf('%.17g\\n', value))\n"
                        << script;
    std::FILE* answer = ::popen(("Rscript --vanilla " + file + " 2>&1").c_str(), "r");
    if (answer == nullptr) throw std::runtime_error("R cannot be started");
    std::string text;
    char buffer[4096];
    while (std::fgets(buffer, sizeof buffer, answer) != nullptr) text += buffer;
    if (::pclose(answer) != 0) throw std::runtime_error("R says: " + text);
    std::map<std::string, double> numbers;
    std::istringstream lines(text);
    std::string name;
    double value = 0.0;
    while (lines >> name >> value) numbers[name] = value;
    return numbers;
}

}  // namespace padtrim::peers

#include "tests/peers/python_instrument.hpp"

#include <csignal>
#include <stdexcept>

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

namespace padtrim::peers {
namespace {

std::string first_line(int descriptor) {
    std::string line;
    char letter = 0;
    while (::read(descriptor, &letter, 1) == 1 && letter != '\n') line += letter;
    return line;
}

}  // namespace

PythonInstrument::PythonInstrument(const std::vector<std::string>& arguments) {
    std::vector<std::string> words{"python3", "-B",
                                   PADTRIM_SOURCE_DIR "/tests/peers/scpi_instrument.py"};
    words.insert(words.end(), arguments.begin(), arguments.end());
    std::vector<char*> raw;
    for (std::string& word : words) raw.push_back(word.data());
    raw.push_back(nullptr);
    int in[2], out[2];
    if (::pipe2(in, O_CLOEXEC) != 0 || ::pipe2(out, O_CLOEXEC) != 0)
        throw std::runtime_error("no pipe");
    id_ = ::fork();
    if (id_ == 0) {
        ::dup2(in[0], STDIN_FILENO);
        ::dup2(out[1], STDOUT_FILENO);
        ::execvp(raw.front(), raw.data());
        ::_exit(127);
    }
    ::close(in[0]);
    ::close(out[1]);
    input_ = in[1];
    where_ = first_line(out[0]);
    ::close(out[0]);
    if (where_.empty()) throw std::runtime_error("scpi_instrument.py did not start");
}

void PythonInstrument::stop() {
    if (id_ <= 0) return;
    ::close(input_);
    ::kill(id_, SIGKILL);
    ::waitpid(id_, nullptr, 0);
    id_ = -1;
}

}  // namespace padtrim::peers

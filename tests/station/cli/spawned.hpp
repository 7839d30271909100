// A program in another process, its output read through pipes; waits are bounded and never sleep.
#pragma once

#include <array>
#include <chrono>
#include <csignal>
#include <stdexcept>
#include <string>
#include <vector>

#include <fcntl.h>
#include <poll.h>
#include <sys/wait.h>
#include <unistd.h>

namespace padtrim::test_support {

class Spawned {
  public:
    // `terminal`: a descriptor that becomes stdin and stdout, or -1 for pipes.
    explicit Spawned(const std::vector<std::string>& words, int terminal = -1) {
        int out[2], err[2];
        if (pipe2(out, O_CLOEXEC) != 0 || pipe2(err, O_CLOEXEC) != 0) {
            throw std::runtime_error("no pipe");
        }
        id_ = fork();
        if (id_ < 0) throw std::runtime_error("no process");
        if (id_ == 0) become(words, terminal < 0 ? out[1] : terminal, err[1], terminal);
        close(out[1]);
        close(err[1]);
        pipes_ = {out[0], err[0]};
    }
    Spawned(const Spawned&) = delete;
    Spawned& operator=(const Spawned&) = delete;
    ~Spawned() {
        if (id_ > 0) {
            ::kill(id_, SIGKILL);
            waitpid(id_, nullptr, 0);
        }
        for (const int pipe : pipes_) close(pipe);
    }

    [[nodiscard]] pid_t id() const { return id_; }
    void signal(int number) const { ::kill(id_, number); }
    [[nodiscard]] const std::string& out() const { return said_[0]; }
    [[nodiscard]] const std::string& err() const { return said_[1]; }

    // Until stdout holds the text `times` times, or the program ends (false), or time is up
    // (false).
    bool until(const std::string& text, std::size_t times = 1,
               std::chrono::seconds patience = std::chrono::seconds(60)) {
        while (count(text) < times) {
            if (!read_some(patience)) return count(text) >= times;
        }
        return true;
    }
    // The same of stderr.
    bool until_complaint(const std::string& text,
                         std::chrono::seconds patience = std::chrono::seconds(60)) {
        while (said_[1].find(text) == std::string::npos)
            if (!read_some(patience)) return said_[1].find(text) != std::string::npos;
        return true;
    }
    // The exit code; -1 when it does not end in time, 128 + n when signal n killed it.
    int wait(std::chrono::seconds patience = std::chrono::seconds(120)) {
        while (read_some(patience)) {
        }
        if (open_[0] || open_[1]) return -1;
        int status = 0;
        waitpid(id_, &status, 0);
        id_ = 0;
        return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    }

  private:
    [[noreturn]] static void become(const std::vector<std::string>& words, int out, int err,
                                    int terminal) {
        const int input = terminal < 0 ? open("/dev/null", O_RDONLY | O_CLOEXEC) : terminal;
        dup2(input, 0);
        dup2(out, 1);
        dup2(err, 2);
        std::vector<char*> arguments;
        for (const auto& word : words) arguments.push_back(const_cast<char*>(word.c_str()));
        arguments.push_back(nullptr);
        execv(arguments[0], arguments.data());
        _exit(127);
    }
    [[nodiscard]] std::size_t count(const std::string& text) const {
        std::size_t found = 0;
        for (auto at = said_[0].find(text); at != std::string::npos;
             at = said_[0].find(text, at + 1)) {
            ++found;
        }
        return found;
    }
    // False when both ends are closed or nothing came in time.
    bool read_some(std::chrono::seconds patience) {
        std::array<pollfd, 2> ends{};
        for (std::size_t i = 0; i < 2; ++i) ends[i] = {open_[i] ? pipes_[i] : -1, POLLIN, 0};
        if (!open_[0] && !open_[1]) return false;
        const auto limit = std::chrono::milliseconds(patience).count();
        if (poll(ends.data(), 2, static_cast<int>(limit)) <= 0) return false;
        std::array<char, 65536> chunk;
        for (std::size_t i = 0; i < 2; ++i) {
            if (ends[i].revents == 0) continue;
            const auto length = read(pipes_[i], chunk.data(), chunk.size());
            if (length <= 0) {
                open_[i] = false;
            } else {
                said_[i].append(chunk.data(), static_cast<std::size_t>(length));
            }
        }
        return true;
    }

    pid_t id_ = 0;
    std::array<int, 2> pipes_{-1, -1};
    std::array<bool, 2> open_{true, true};
    std::array<std::string, 2> said_;
};

}  // namespace padtrim::test_support

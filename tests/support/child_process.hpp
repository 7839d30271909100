// A child process of a test: for what only another process can show (locks, kills, lesser rights).
//
// The child runs a function and ends without any of the test's destructors; what it says travels
// through a pipe. Fork from a test without threads.
#pragma once

#include <csignal>
#include <functional>
#include <stdexcept>
#include <string>
#include <string_view>

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

namespace padtrim::support {

class ChildProcess {
  public:
    // What the child's function gets: say() reaches the parent at once.
    class Voice {
      public:
        explicit Voice(int descriptor) : descriptor_(descriptor) {}
        void say(std::string_view text) const {
            if (write(descriptor_, text.data(), text.size()) < 0) _exit(3);
        }

      private:
        int descriptor_;
    };

    explicit ChildProcess(const std::function<void(const Voice&)>& work) {
        int ends[2];
        if (pipe2(ends, O_CLOEXEC) != 0) throw std::runtime_error("no pipe");
        id_ = fork();
        if (id_ < 0) throw std::runtime_error("no child process");
        if (id_ == 0) {
            work(Voice(ends[1]));
            _exit(0);
        }
        close(ends[1]);
        descriptor_ = ends[0];
    }
    ChildProcess(const ChildProcess&) = delete;
    ChildProcess& operator=(const ChildProcess&) = delete;
    ~ChildProcess() {
        kill_now();
        close(descriptor_);
    }

    // One byte of what the child said; waits for it. NUL when the child has ended.
    char hear() {
        char letter = 0;
        return read(descriptor_, &letter, 1) == 1 ? letter : '\0';
    }
    // All of it, to the child's end.
    std::string hear_all() {
        std::string text;
        for (char letter = hear(); letter != '\0'; letter = hear()) text += letter;
        return text;
    }
    void kill_now() {
        if (id_ <= 0) return;
        kill(id_, SIGKILL);
        waitpid(id_, nullptr, 0);
        id_ = 0;
    }

  private:
    pid_t id_ = 0;
    int descriptor_ = -1;
};

}  // namespace padtrim::support

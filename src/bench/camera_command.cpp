#include "bench/camera_command.h"

#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <thread>

extern char** environ;

namespace boardlore {

Result<std::filesystem::path> take_with_camera(const std::string& command, const std::filesystem::path& folder, std::stop_token stop) {
  const auto failed = [&](const std::string& expected, const std::string& found) { return Problem{"", "camera", expected, found, Outcome::system_failed}; };
  if (command.find("%f") == std::string::npos) return failed("a command with %f where the photo's file goes", command.empty() ? "nothing" : command);
  std::error_code error;
  std::filesystem::create_directories(folder, error);
  const auto now = std::chrono::system_clock::now().time_since_epoch();
  const std::filesystem::path file = folder / ("photo-" + std::to_string(std::chrono::duration_cast<std::chrono::milliseconds>(now).count()) + ".jpg");
  std::string quoted = "'";
  for (const char c : file.string()) quoted += c == '\'' ? std::string("'\\''") : std::string(1, c);
  quoted += "'";
  std::string line = command;
  for (std::size_t at = 0; (at = line.find("%f", at)) != std::string::npos; at += quoted.size()) line.replace(at, 2, quoted);
  std::string shell = "/bin/sh", option = "-c";
  char* arguments[] = {shell.data(), option.data(), line.data(), nullptr};
  posix_spawn_file_actions_t actions;
  ::posix_spawn_file_actions_init(&actions);
  ::posix_spawn_file_actions_addopen(&actions, 0, "/dev/null", 0, 0);
  pid_t child = 0;
  const int started = ::posix_spawn(&child, shell.c_str(), &actions, nullptr, arguments, environ);
  ::posix_spawn_file_actions_destroy(&actions);
  if (started != 0) return failed("a shell that starts", "none");
  int status = 0;
  for (pid_t ended = 0; (ended = ::waitpid(child, &status, WNOHANG)) == 0;) {
    if (stop.stop_requested()) ::kill(child, SIGTERM);
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
  }
  if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) return failed("the camera's command to end well", "it ended with " + std::to_string(WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status)));
  if (!std::filesystem::exists(file, error)) return failed("a photo in " + file.string(), "no file");
  return file;
}

}  // namespace boardlore

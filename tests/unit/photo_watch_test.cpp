// A watched folder whose files are half written, vanish, are replaced, linked or swapped for folders between looks.
#include <doctest/doctest.h>

#include <chrono>
#include <fstream>

#include "record/photo_watch.h"
#include "support/temporary_folder.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

struct Camera {
  TemporaryFolder folder;
  PhotoWatch watch{folder.path};
  std::vector<std::string> offered;
  bool refuse = false;
  int clock = 0;

  // Each write a second later, as a file system with whole seconds would show it.
  void save(const std::string& name, const std::string& bytes) {
    std::ofstream(folder.path / name, std::ios::binary) << bytes;
    fs::last_write_time(folder.path / name, fs::file_time_type(std::chrono::seconds(1000 + ++clock)));
  }
  WatchReport look() {
    return watch.look([&](const fs::path& file) -> Result<Done> {
      offered.push_back(file.filename().string());
      if (refuse) return Problem{file.string(), "", "a whole picture", "its end is missing"};
      return Done{};
    });
  }
};

}  // namespace

TEST_CASE("a picture is offered once, and not before two looks agree on it") {
  Camera camera;
  camera.save("A.jpg", "half");
  CHECK(camera.look().still_written == 1);
  camera.save("A.jpg", "half and more");  // still being written
  CHECK(camera.look().still_written == 1);
  CHECK(camera.offered.empty());
  CHECK(camera.look().taken_in.size() == 1);
  for (int i = 0; i < 3; ++i) CHECK(camera.look().taken_in.empty());
  CHECK(camera.offered == std::vector<std::string>{"A.jpg"});
}

TEST_CASE("an empty file waits, a refused one is told once and tried again only when it changed") {
  Camera camera;
  camera.save("A.jpg", "");
  for (int i = 0; i < 3; ++i) camera.look();
  CHECK(camera.offered.empty());
  camera.save("A.jpg", "cut short");
  camera.refuse = true;
  camera.look();
  CHECK(camera.look().problems.size() == 1);
  for (int i = 0; i < 3; ++i) CHECK(camera.look().problems.empty());
  camera.refuse = false;
  camera.save("A.jpg", "cut short no more");
  camera.look();
  CHECK(camera.look().taken_in.size() == 1);
}

TEST_CASE("a file replaced by another of the same name is looked at again, even of the same size") {
  Camera camera;
  camera.save("A.jpg", "one");
  camera.look(), camera.look();
  camera.save("A.jpg", "two");
  CHECK(camera.look().taken_in.empty());
  CHECK(camera.look().taken_in.size() == 1);
}

TEST_CASE("files that vanish and come back, and a folder that is away for a while, do no harm") {
  Camera camera;
  camera.save("A.jpg", "one");
  camera.look();
  fs::remove(camera.folder.path / "A.jpg");
  CHECK(camera.look().taken_in.empty());
  camera.save("A.jpg", "one");
  CHECK(camera.look().taken_in.empty());  // begins anew
  CHECK(camera.look().taken_in.size() == 1);
  const fs::path away = camera.folder.path.string() + "-away";
  fs::rename(camera.folder.path, away);
  CHECK(camera.look().taken_in.empty());
  CHECK(camera.look().problems.empty());
  fs::rename(away, camera.folder.path);
  camera.look();
  CHECK(camera.look().taken_in.empty());  // the same file is not new because its folder was away
  CHECK(camera.offered.size() == 1);
}

TEST_CASE("links, folders, hidden files and other endings are left alone") {
  Camera camera;
  camera.save("real.txt", "words");
  camera.save(".A.jpg", "hidden");
  fs::create_directory(camera.folder.path / "B.jpg");
  fs::create_symlink("real.txt", camera.folder.path / "C.jpg");
  for (int i = 0; i < 3; ++i) camera.look();
  CHECK(camera.offered.empty());
  camera.save("D.JPEG", "capitals");
  camera.save("E.png", "another");
  camera.look();
  CHECK(camera.look().taken_in.size() == 2);
}

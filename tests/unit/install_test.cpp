// What `cmake --install` lays down: whole, and running from a prefix that is not the source tree. The desktop files are
// read by the desktop's own readers where those are there.
#include <doctest/doctest.h>

#include <fstream>
#include <sstream>

#include "support/run_program.h"
#include "support/temporary_folder.h"

using namespace boardlore;

namespace {

std::string text_of(const std::filesystem::path& file) {
  std::ostringstream text;
  text << std::ifstream(file, std::ios::binary).rdbuf();
  return text.str();
}

bool has_program(const char* name) { return run_shell(std::string("command -v ") + name).exit_code == 0; }

// What bash would offer for a line that ends at the word being typed.
std::string offered(const std::filesystem::path& completion, const std::string& words) {
  return run_shell("bash -c " + shell_quoted("source '" + completion.string() + "'; COMP_WORDS=(" + words + "); COMP_CWORD=$((${#COMP_WORDS[@]}-1)); _boardlore; echo \"${COMPREPLY[*]}\""))
      .output;
}

}  // namespace

TEST_CASE("an installed Boardlore is whole and runs from where it was put") {
  const TemporaryFolder tmp;
  const std::filesystem::path build = places::program().parent_path().parent_path(), prefix = tmp.path / "prefix é";
  const RunResult installed = run_shell("cmake --install " + shell_quoted(build.string()) + " --prefix " + shell_quoted(prefix.string()) + " 2>&1");
  INFO(installed.output);
  REQUIRE(installed.exit_code == 0);
  const std::filesystem::path share = prefix / "share";
  for (const char* file : {"applications/boardlore.desktop", "mime/packages/boardlore.xml", "icons/hicolor/scalable/apps/boardlore.svg", "man/man1/boardlore.1.gz",
                           "bash-completion/completions/boardlore", "boardlore/boards/brackenwick-gc12/layer.json", "boardlore/boards/brackenwick-gc12/top.jpg",
                           "boardlore/schemas/layer.schema.json", "doc/boardlore/copyright"})
    CHECK_MESSAGE(std::filesystem::exists(share / file), file);

  const std::string program = shell_quoted((prefix / "bin/boardlore").string());
  CHECK(run_shell(program + " --version").output.find("boardlore 1.") == 0);
  CHECK(run_shell(program + " check " + shell_quoted((share / "boardlore/boards/brackenwick-gc12").string()) + " 2>&1").exit_code == 0);

  SUBCASE("the manual page names every command and exit code, and the formatter has nothing to say about it") {
    const RunResult page = run_shell("zcat " + shell_quoted((share / "man/man1/boardlore.1.gz").string()) + " | groff -man -Tutf8 -ww -rHY=0 2>&1 | sed 's/\\x1b\\[[0-9;]*m//g; s/.\\x08//g'");
    CHECK(page.output.find("warning") == std::string::npos);
    for (const char* words : {"new board", "new job", "before-lift", "usual-faults", "EXIT STATUS", "BOARDLORE_LIBRARY"}) CHECK_MESSAGE(page.output.find(words) != std::string::npos, words);
    // The help of a command and its place in the manual are the same sentence.
    const std::string help = run_shell(program + " before-lift --help").output;
    const std::string sentence = help.substr(0, help.find('\n')).substr(0, 40);
    CHECK(page.output.find(sentence.substr(0, sentence.rfind(' '))) != std::string::npos);
  }
  SUBCASE("the completion offers commands, their options and what an option takes") {
    const std::filesystem::path completion = share / "bash-completion/completions/boardlore";
    CHECK(offered(completion, "boardlore befo").find("before-lift") == 0);
    CHECK(offered(completion, "boardlore new ''").find("board job") == 0);
    CHECK(offered(completion, "boardlore new board --rev").find("--revision") == 0);
    CHECK(offered(completion, "boardlore manual --as ''").find("man bash") != std::string::npos);
    CHECK(offered(completion, "boardlore check ''") == "\n");  // files, then
  }
  SUBCASE("desktop entry, document types and icon") {
    if (has_program("desktop-file-validate")) CHECK(run_shell("desktop-file-validate " + shell_quoted((share / "applications/boardlore.desktop").string()) + " 2>&1").output.empty());
    else MESSAGE("skipped: desktop-file-validate is not here");
    CHECK(text_of(share / "applications/boardlore.desktop").find("application/x-boardlore-layer+json") != std::string::npos);
    if (!has_program("update-mime-database")) {
      MESSAGE("skipped: update-mime-database is not here");
      return;
    }
    const RunResult mime = run_shell("update-mime-database " + shell_quoted((share / "mime").string()) + " 2>&1");
    CHECK_MESSAGE(mime.exit_code == 0, mime.output);
    const std::string globs = text_of(share / "mime/globs2");
    CHECK(globs.find("60:application/x-boardlore-layer+json:layer.json") != std::string::npos);
    CHECK(globs.find("60:application/x-boardlore-job+json:job.json") != std::string::npos);
  }
}

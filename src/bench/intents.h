// What a frame's clicks and keys ask for. Views push these; BenchApp carries them out after the frame, so
// that nothing changes while it is being drawn.
#pragma once

#include <filesystem>
#include <functional>
#include <variant>
#include <vector>

#include "bench/desk.h"
#include "domain/problem.h"
#include "editing/edit.h"

namespace boardlore {

class Folder;
enum class Audience;  // record/record_model.h

namespace intent {
struct Commit {              // one undo step
  std::string name;
  std::vector<Edit> edits;
};
struct Undo {};
struct Redo {};
struct Save {};
struct OpenFolder {
  std::filesystem::path dir;
  bool typed = false;  // into the start page's field, which says what is no folder of ours
};
struct OpenAtMark {          // and shows the mark once it lies open
  std::filesystem::path dir;
  Id mark;
};
struct CloseFolder {};
struct NewBoard {
  std::filesystem::path dir;
  Board board;
  std::vector<std::filesystem::path> photos;  // the first is the top
};
struct NewJob {
  std::filesystem::path dir, board_dir;
  Job job;
};
struct AddPhotos {
  std::vector<std::filesystem::path> files;
  Side side = Side::top;
};
struct FindPlace { Id photo; };          // by itself, beside the frame
struct Compare { Id before, after; };
struct SeeDifference {};
struct SeeSquareOn { Id photo; };        // made beside the frame, then shown
struct SeeJoined {};                     // the photos of the side in view
struct SeeSharpness { Id photo; };
struct MakeRecord { Audience audience{}; };
struct CopyFiles { std::vector<std::filesystem::path> files; };  // into the clipboard, for other programs
struct PasteClipboard {};                // what another program copied; where that is nothing, marks copied here
struct ReadPrint { Id photo; };          // designators from the photo, as proposals
struct ShowPhoto { Id photo; };
struct ShowMark { Id mark; };            // on whichever side and photo it is
struct CoverRegion { Id photo; };        // of a board's reference photo, by a drag
struct ExportLayer { std::filesystem::path file; };
struct EnterLine { std::string text; };  // from the entry line
struct Work {              // anything else that needs the folder; what comes back is shown
  std::string what;
  Desk::Work work;
};
struct Watch {               // pictures saved into this folder come into the job; empty: no longer
  std::filesystem::path folder;
};
struct Say {
  std::string text;
  bool trouble = false;
  bool passing = false;  // about this stage: gone with it
};
}  // namespace intent

using Intent = std::variant<intent::Commit, intent::Undo, intent::Redo, intent::Save, intent::OpenFolder, intent::OpenAtMark,
                            intent::CloseFolder, intent::NewBoard, intent::NewJob, intent::AddPhotos,
                            intent::FindPlace, intent::Compare, intent::SeeDifference, intent::MakeRecord, intent::PasteClipboard, intent::CopyFiles, intent::SeeSquareOn, intent::SeeJoined, intent::SeeSharpness, intent::ReadPrint, intent::ShowPhoto, intent::ShowMark, intent::CoverRegion, intent::ExportLayer, intent::EnterLine, intent::Work, intent::Watch,
                            intent::Say>;

class Intents {
 public:
  template <class T>
  void push(T intent) { waiting_.emplace_back(std::move(intent)); }
  void commit(std::string name, std::vector<Edit> edits) { push(intent::Commit{std::move(name), std::move(edits)}); }
  std::vector<Intent> take() { return std::exchange(waiting_, {}); }

 private:
  std::vector<Intent> waiting_;
};

}  // namespace boardlore

// What every view is given for one frame: the document as it stands, the look, and where to put wishes.
#pragma once

#include <functional>

#include "bench/anchors.h"
#include "bench/bench_state.h"
#include "bench/derived.h"
#include "bench/field_faults.h"
#include "bench/fonts.h"
#include "bench/intents.h"
#include "bench/made_pictures.h"
#include "bench/photo_comparer.h"
#include "bench/photo_textures.h"
#include "bench/record_maker.h"
#include "bench/shop_search.h"
#include "bench/theme.h"

namespace boardlore {

class DragOut;      // bench/drag_out.h
struct GivenFiles;  // bench/given_files.h

struct Scene {
  const DeskView& desk;
  const Theme& theme;
  const Fonts& fonts;
  Anchors& anchors;
  Intents& intents;
  FieldFaults& faults;
  PhotoTextures& textures;
  Derived& derived;
  ShopSearch& shop;
  PhotoComparer& comparer;
  PictureMaker& maker;
  RecordMaker& records;
  DragOut& drag_out;
  const GivenFiles& given;
  std::function<Id()> new_id;
  std::function<Timestamp()> now;
  std::string technician;

  const Layer& layer() const { return *desk.snapshot.layer; }
  const Job* job() const { return desk.snapshot.job.get(); }
};

}  // namespace boardlore

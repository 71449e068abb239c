//! Photos of a stage, from the tablet's camera or a file.

use maud::{Markup, html};
use shop::PhotoView;
use workorder::WorkStage;

use super::OrderPage;
use super::head::stage_id;

impl OrderPage {
    pub(super) fn photos(&self, stage: WorkStage) -> Markup {
        let photos: Vec<_> = self.view.photos.iter().filter(|photo| photo.stage == stage).collect();
        let id = format!("photo-{}", stage_id(stage.word()));
        html! {
            details class="photo-box" open[!photos.is_empty()] id=(id) {
                summary {
                    "Photos"
                    @if !photos.is_empty() { " (" (photos.len()) ")" }
                    span class="unseen" { " of " (stage.word()) }
                }
                @if !photos.is_empty() {
                    div class="photos" {
                        @for photo in photos {
                            figure {
                                a href={ "/photos/" (photo.id.get()) } {
                                    img src={ "/photos/" (photo.id.get()) } width=(photo.size.0) height=(photo.size.1)
                                        loading="lazy" alt=(shown(photo));
                                }
                                @if !photo.caption.is_empty() { figcaption { (photo.caption) } }
                                form method="post" action={ (self.base) "/photos/away" } data-live {
                                    (self.facts().hidden())
                                    input type="hidden" name="photo" value=(photo.id.get());
                                    button class="plain" type="submit" {
                                        "Put away" span class="unseen" { " the photo " (photo.caption) }
                                    }
                                }
                            }
                        }
                    }
                }
                form class="add" method="post" action={ (self.base) "/photos" } enctype="multipart/form-data"
                    data-upload {
                    (self.facts().hidden())
                    input type="hidden" name="stage" value=(stage.word());
                    label {
                        span { "What it shows" }
                        input id={ (id) "-caption" } name="caption" maxlength="200" autocomplete="off";
                    }
                    label {
                        span { "Photo, up to 20 MB; its location is taken out" }
                        input id={ (id) "-file" } name="photo" type="file"
                            accept="image/jpeg,image/png,image/webp" required;
                    }
                    button class="when-plain" type="submit" { "Add the photo" }
                }
            }
        }
    }
}

/// What a photo shows, for those who cannot see it.
fn shown(photo: &PhotoView) -> String {
    if photo.caption.is_empty() { format!("photo of {}", photo.stage.word()) } else { photo.caption.clone() }
}

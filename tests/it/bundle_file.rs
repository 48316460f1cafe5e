//! The bytes of photos and documents, held against the hashes that a bundle's entries name.

use std::{
    fs,
    path::{Path, PathBuf},
    process::Command,
};

use crate::{
    attachment_given::photo,
    client::Client,
    world::{World, on_sqlite},
};

/// What the command says of a bundle, and how it ends.
fn verify(bundle: &Path, more: &[&str]) -> (Option<i32>, String) {
    let done = Command::new(env!("CARGO_BIN_EXE_ropeloft"))
        .arg("verify")
        .arg(bundle)
        .args(more)
        .output()
        .unwrap();
    let said = [done.stdout, done.stderr].concat();
    let said = String::from_utf8_lossy(&said).into_owned();
    (done.status.code(), said)
}

/// Two photos on an item, and the record that names them.
struct Named {
    world: World,
    officer: Client,
    bundle: PathBuf,
    item: String,
}

impl Named {
    async fn new(world: World) -> Self {
        world.take_key().await;
        let stock = world.stock().await;
        let officer = world.visitor(&world.officer).await;
        let item = format!("item={}", stock.first.id);
        let bundle = world.folder.path().join("record.bundle");
        Self {
            world,
            officer,
            bundle,
            item,
        }
    }

    /// The record as it stands goes into a bundle, and this is what the command says of it.
    async fn saved(&self, more: &[&str]) -> (Option<i32>, String) {
        let record = self.officer.get("/history/bundle").await;
        fs::write(&self.bundle, record.text).unwrap();
        verify(&self.bundle, more)
    }

    async fn put(&self, name: &str, shade: u8) {
        let officer = &self.officer;
        officer.put_on(&self.item, name, name, &photo(shade)).await;
    }

    /// Where the files of the photo of this name are kept: itself, and made small.
    async fn kept(&self, name: &str) -> [PathBuf; 2] {
        let on_record = self.officer.on_record(&self.item).await;
        let one = on_record.iter().find(|one| one["name"] == name).unwrap();
        ["file", "thumbnail"].map(|file| {
            let hash = one[file]["sha256"].as_str().unwrap();
            let folder = self.folder().join(self.world.team.to_string());
            folder.join(&hash[..2]).join(hash)
        })
    }

    fn folder(&self) -> PathBuf {
        self.world.folder.path().join("files")
    }
}

#[tokio::test]
async fn what_was_not_looked_at_is_told() {
    on_sqlite(async |world| {
        let named = Named::new(world).await;
        let (code, said) = named.saved(&[]).await;
        assert!(code == Some(0) && said.contains("none is named"), "{said}");
        named.put("a.jpg", 1).await;
        let (code, said) = named.saved(&[]).await;
        let not_looked_at = "2 named; their bytes were not looked at";
        assert!(code == Some(0) && said.contains(not_looked_at), "{said}");
        let (code, said) = named.saved(&["--files", "/nowhere/at/all"]).await;
        assert!(
            code == Some(1) && said.contains("/nowhere/at/all"),
            "{said}"
        );
    })
    .await;
}

#[tokio::test]
async fn the_first_photo_that_is_missing_or_was_changed_is_named() {
    on_sqlite(async |world| {
        let named = Named::new(world).await;
        named.put("a.jpg", 1).await;
        named.put("b.jpg", 2).await;
        let folder = named.folder();
        let with = ["--files", folder.to_str().unwrap()];
        let (code, said) = named.saved(&with).await;
        let all = "4, each with the bytes of its hash";
        assert!(code == Some(0) && said.contains(all), "{said}");
        // Called otherwise it is the same file; a small one may be left out.
        let [seam, small] = named.kept("b.jpg").await;
        let elsewhere = folder.join("seam.jpg");
        let bytes = fs::read(&seam).unwrap();
        fs::rename(&seam, &elsewhere).unwrap();
        fs::remove_file(small).unwrap();
        let (code, said) = verify(&named.bundle, &with);
        let less = "1 small photo is not in the folder";
        assert!(code == Some(0) && said.contains(less), "{said}");

        fs::remove_file(elsewhere).unwrap();
        let (code, said) = verify(&named.bundle, &with);
        assert_eq!(code, Some(1), "{said}");
        assert!(
            said.contains("\"b.jpg\"") && said.contains("is missing"),
            "{said}"
        );
        fs::write(&seam, &bytes[1..]).unwrap();
        let (code, said) = verify(&named.bundle, &with);
        assert_eq!(code, Some(1), "{said}");
        let called = seam.file_name().unwrap().to_str().unwrap();
        assert!(
            said.contains("was changed") && said.contains(called),
            "{said}"
        );
    })
    .await;
}

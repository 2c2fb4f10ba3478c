//! The phone's entry: the same window as on a desktop, over the surveys in the app's own storage.
//!
//! Rust asks the activity (`Front.java`) for camera, pictures, files, sharing and how the system is set up. Nothing
//! calls back: what comes lies in the [tray](crate::app::tray), and the window looks there when it is in front
//! again. `Shelf.java` is the one opening through which a camera or another program reaches a file of ours.
//!
//! Back key and gesture, the bars of the system, the keyboard on the screen and a turned phone are Slint's own events
//! and are dealt with in `ui/main.slint`.

mod proof;

use crate::app::clock::Clock;
use crate::app::device::{Abilities, Device, Fetch, Give, Refusal, System};
use crate::app::tray::Token;
use crate::app::{App, AppError, Handle, device, settings};
use crate::store::Settings;
use jni::objects::{JObject, JString};
use jni::refs::Global;
use jni::strings::JNIStr;
use jni::{Env, JValue, JavaVM, jni_sig, jni_str};
use slint::ComponentHandle as _;
use slint::android::android_activity::{AndroidApp, MainEvent, PollEvent};
use std::cell::RefCell;
use std::path::Path;
use std::rc::{Rc, Weak};
use std::time::Duration;

/// How often, and how long apart, the data folder is asked for: where the system ends the activity and makes it anew
/// in the same process, work of the earlier one may still hold it for a moment, though it is told to stop. Four seconds
/// at most: after five without an answer to a touch the system asks the user whether to end the program.
const TRIES: u32 = 16;
const BETWEEN: Duration = Duration::from_millis(250);

#[unsafe(no_mangle)]
fn android_main(android: AndroidApp) {
    let front = Rc::new(Front(android.clone()));
    if let Err(error) = run(android.clone(), &front) {
        let data = android.internal_data_path().unwrap_or_default();
        let reader = settings::reader(&Settings::read(&data), &front.system().locale);
        let told = front.end(&device::farewell(&reader, &error.to_string()));
        // Where this returns the activity ends, and what is told with it.
        let mut over = told.is_none();
        while !over {
            android.poll_events(None, |event| {
                over = matches!(event, PollEvent::Main(MainEvent::Destroy));
            });
        }
    }
}

fn run(android: AndroidApp, front: &Rc<Front>) -> Result<(), AppError> {
    let data = android
        .internal_data_path()
        .ok_or_else(|| AppError::Data("The system names no folder for data.".to_owned()))?;
    let shown: Rc<RefCell<Handle>> = Rc::new(RefCell::new(Weak::new()));
    let listening = Rc::clone(&shown);
    slint::android::init_with_event_listener(android, move |event| {
        let Some(app) = listening.borrow().upgrade() else {
            return;
        };
        match event {
            PollEvent::Main(MainEvent::Resume { .. }) => app.come_back(),
            PollEvent::Main(MainEvent::ConfigChanged { .. }) => app.follow(),
            // The last moment that is certain: after this the system may end the program at any time.
            PollEvent::Main(MainEvent::Pause | MainEvent::Stop | MainEvent::SaveState { .. }) => {
                app.on_background()
            }
            PollEvent::Main(MainEvent::Destroy) => app.stop(),
            _ => {}
        }
    })
    .map_err(|error| AppError::Window(error.to_string().into()))?;
    let app = open(front, &data)?;
    *shown.borrow_mut() = Rc::downgrade(&app);
    let ran = app.window().run();
    // However it ended: what is being typed is on the disk, and the work beside the window lets go of the folder.
    app.stop();
    ran?;
    Ok(())
}

fn open(front: &Rc<Front>, data: &Path) -> Result<Rc<App>, AppError> {
    let mut tries = 1;
    loop {
        match App::on(Rc::clone(front) as Rc<dyn Device>, data, Clock::system()) {
            Err(AppError::Data(_)) if tries < TRIES => std::thread::sleep(BETWEEN),
            opened => return opened,
        }
        tries += 1;
    }
}

/// The activity, which does what only Java can ask of the system.
struct Front(AndroidApp);

impl Front {
    /// Calls Java; where that does not work, nothing comes back.
    fn java<R>(
        &self,
        call: impl FnOnce(&mut Env, &JObject) -> jni::errors::Result<R>,
    ) -> Option<R> {
        let machine = JavaVM::singleton().unwrap_or_else(|_| {
            // SAFETY: android-activity gives the process's one machine, which outlives every thread.
            unsafe { JavaVM::from_raw(self.0.vm_as_ptr().cast()) }
        });
        let called = machine.attach_current_thread(|env| {
            let activity = self.0.activity_as_ptr().cast();
            // SAFETY: android-activity holds this global reference as long as the `AndroidApp` lives.
            let activity = unsafe { env.as_cast_raw::<Global<JObject<'static>>>(&activity)? };
            let done = call(env, activity.as_ref());
            if done.is_err() {
                env.exception_clear();
            }
            done
        });
        // Goes to the system's log.
        called.inspect_err(|error| eprintln!("{error}")).ok()
    }

    fn text(&self, name: &JNIStr) -> Option<String> {
        self.java(|env, activity| {
            let text = env
                .call_method(activity, name, jni_sig!("()Ljava/lang/String;"), &[])?
                .l()?;
            let text = env.cast_local::<JString>(text)?;
            text.try_to_string(env)
        })
    }

    fn number(&self, name: &JNIStr) -> Option<i32> {
        self.java(|env, activity| env.call_method(activity, name, jni_sig!("()I"), &[])?.i())
    }

    /// A method that is given one text.
    fn say(&self, name: &JNIStr, text: &str) -> Option<()> {
        self.java(|env, activity| {
            let text = env.new_string(text)?;
            let text = [JValue::Object(&text)];
            env.call_method(activity, name, jni_sig!("(Ljava/lang/String;)V"), &text)?
                .v()
        })
    }

    /// Tells why the program cannot go on, and ends it once that was read.
    fn end(&self, why: &str) -> Option<()> {
        self.say(jni_str!("end"), why)
    }
}

fn refused() -> Refusal {
    Refusal("This device cannot do that.".to_owned())
}

impl Device for Front {
    fn abilities(&self) -> Abilities {
        let camera = self.java(|env, activity| {
            env.call_method(activity, jni_str!("hasCamera"), jni_sig!("()Z"), &[])?
                .z()
        });
        Abilities::of_phone(camera.unwrap_or(false))
    }

    fn fetch(&self, what: Fetch, token: &Token) -> Result<(), Refusal> {
        let what = match what {
            Fetch::NewPicture => 0,
            Fetch::Picture => 1,
            Fetch::File => 2,
        };
        self.java(|env, activity| {
            let token = env.new_string(token.to_string())?;
            let args = [JValue::Int(what), JValue::Object(&token)];
            let sig = jni_sig!("(ILjava/lang/String;)V");
            env.call_method(activity, jni_str!("fetch"), sig, &args)?
                .v()
        })
        .ok_or_else(refused)
    }

    fn give(&self, file: &Path, way: Give) -> Result<(), Refusal> {
        let name = match way {
            Give::Share => jni_str!("share"),
            Give::Copy => jni_str!("copy"),
        };
        let path = file.to_str().ok_or_else(refused)?;
        self.say(name, path).ok_or_else(refused)
    }

    fn keep_awake(&self, awake: bool) {
        // Where it cannot be had the screen goes dark as always; nothing is lost by it.
        let _ = self.java(|env, activity| {
            let args = [JValue::Bool(awake)];
            env.call_method(activity, jni_str!("keepAwake"), jni_sig!("(Z)V"), &args)?
                .v()
        });
    }

    fn system(&self) -> System {
        System {
            locale: self.text(jni_str!("locale")).unwrap_or_default(),
            night: match self.number(jni_str!("night")) {
                Some(0) => Some(false),
                Some(1) => Some(true),
                _ => None,
            },
            text_percent: self
                .number(jni_str!("textPercent"))
                .and_then(|percent| u16::try_from(percent).ok()),
        }
    }
}

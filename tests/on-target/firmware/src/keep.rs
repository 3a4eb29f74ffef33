//! Functions to be called by name.

/// Defines functions with C names and arguments, and `keep`, which keeps them all in the firmware.
///
/// `unsafe(no_mangle)`: the names are unique in each firmware, and none is a name of the C library.
#[macro_export]
macro_rules! kept {
    ($($(#[$doc:meta])* fn $name:ident($($argument:ident: $type:ty),*) $(-> $result:ty)? $body:block)*) => {
        $(
            $(#[$doc])*
            #[unsafe(no_mangle)]
            extern "C" fn $name($($argument: $type),*) $(-> $result)? $body
        )*

        /// Holds the functions against the linker's broom.
        pub fn keep() {
            $(
                let function: extern "C" fn($($type),*) $(-> $result)? = $name;
                core::hint::black_box(function);
            )*
        }
    };
}

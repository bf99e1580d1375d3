//! Hints to the processor and the system about memory: the only unsafe code beside the binding, apart from it so
//! that the core can forbid unsafe code altogether.

/// Tells the processor that `place` will be read soon. Changes nothing but the time that takes.
#[inline(always)]
pub fn will_read<T>(place: &T) {
    #[cfg(target_arch = "x86_64")]
    {
        use std::arch::x86_64::{_MM_HINT_T0, _mm_prefetch};
        // Safety: a prefetch reads nothing and never faults; SSE is part of every x86-64.
        unsafe { _mm_prefetch::<_MM_HINT_T0>(std::ptr::from_ref(place).cast()) };
    }
    #[cfg(not(target_arch = "x86_64"))]
    let _ = place;
}

/// Asks the system to back the room of an empty list with large pages, where it can.
///
/// A table that is read all over misses the processor's list of pages with every look; with large
/// pages it does not. Must be called before the room is written to.
pub fn in_large_pages<T>(room: &mut Vec<T>) {
    #[cfg(target_os = "linux")]
    {
        const PAGE: usize = 4096;
        let start = room.as_mut_ptr() as usize;
        let end = start + room.capacity() * size_of::<T>();
        let (first, last) = (start.next_multiple_of(PAGE), end / PAGE * PAGE);
        if first < last {
            // Safety: whole pages of the list's own room; the advice changes no content. Where
            // it is refused everything stays as it was.
            unsafe { libc::madvise(first as *mut _, last - first, libc::MADV_HUGEPAGE) };
        }
    }
    #[cfg(not(target_os = "linux"))]
    let _ = room;
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_list_in_large_pages_holds_what_it_is_given() {
        let mut list: Vec<u64> = Vec::with_capacity(1 << 20);
        super::in_large_pages(&mut list);
        list.extend(0..1 << 20);
        assert_eq!(list.iter().sum::<u64>(), (1 << 19) * ((1 << 20) - 1));
        let mut short: Vec<u8> = Vec::new();
        super::in_large_pages(&mut short);
        short.push(1);
        assert_eq!(short, [1]);
    }

    #[test]
    fn what_is_hinted_at_stays_as_it_is() {
        let place = [7u64; 8];
        super::will_read(&place);
        assert_eq!(place, [7; 8]);
    }
}

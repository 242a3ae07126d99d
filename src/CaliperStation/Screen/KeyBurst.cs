using CaliperStation.Core.Readings;

namespace CaliperStation.Screen;

/// <summary>Who typed an entry.</summary>
internal enum TypedBy
{
    /// <summary>A person.</summary>
    Person,

    /// <summary>A device: all of it came faster than anybody types.</summary>
    Device,

    /// <summary>A device ended it, but not all of it came from the device.</summary>
    Both,

    /// <summary>A device that types on the number pad, whose keys moved the caret because the pad's lock is off.</summary>
    UnlockedPad,
}

/// <summary>Tells keys that a caliper types from keys that a person types, by their pace.</summary>
/// <remarks>
/// Scanner-type devices send a key each 7 to 20 ms (bitsnpixels.dev/blog/scanner-or-person-part-1.html; 20 ms cured lost keys in
/// github.com/adafruit/Adafruit_CircuitPython_HID/issues/114); a fast typist needs 80 ms and more (from memory). What no caliper types,
/// such as <c>7/16</c> or a word, is a person's at any pace: it was pasted or sent by a program. The kit looks at the keyboard each 20 ms, so the
/// mean of a burst tells what single keys cannot.
/// </remarks>
internal sealed class KeyBurst(TimeProvider time)
{
    /// <summary>Keys closer than this on the mean are a device's.</summary>
    public static readonly TimeSpan Pace = TimeSpan.FromMilliseconds(35);

    /// <summary>A longer time between two keys ends a burst.</summary>
    public static readonly TimeSpan Pause = TimeSpan.FromMilliseconds(60);

    /// <summary>A value of four keys, <c>0.00</c>, of which one was lost.</summary>
    public const int Least = 3;

    private const int MinOnPad = 2;

    private int _count;
    private int _onPad;
    private int _gaps;
    private long? _first;
    private long _last;

    /// <summary>True while the keys so far followed Ctrl-A, which some devices send first to mark what a field holds already (github.com/dthomas1202/clockwise-calipers-data-interface).</summary>
    public bool AfterMark { get; private set; }

    /// <summary>Characters were typed into the entry.</summary>
    public void Typed(int characters)
    {
        Step();
        _count += characters;
    }

    /// <summary>A key came that the number pad sends for a digit or the point while its lock is off.</summary>
    public void TypedOnPad()
    {
        Step();
        _onPad++;
    }

    /// <summary>Ctrl-A came into an empty entry.</summary>
    public void Mark()
    {
        Forget();
        Step();
        AfterMark = true;
    }

    /// <summary>The entry was ended by Enter or Tab; forgets what was typed.</summary>
    /// <param name="text">What is in it.</param>
    public TypedBy End(string text)
    {
        bool fast = _first is { } first && time.GetElapsedTime(_last) < Pause && time.GetElapsedTime(first) < Pace * (_gaps + 1);
        TypedBy by = fast && _onPad >= MinOnPad ? TypedBy.UnlockedPad
            : !fast || _count < Least ? TypedBy.Person
            : _count != text.Length ? TypedBy.Both
            : KeyboardText.CouldBe(text) ? TypedBy.Device : TypedBy.Person;
        Forget();
        return by;
    }

    private void Step()
    {
        long now = time.GetTimestamp();
        if (_first is null || time.GetElapsedTime(_last, now) >= Pause)
        {
            Forget();
            _first = now;
        }
        else
        {
            _gaps++;
        }

        _last = now;
    }

    private void Forget() => (_count, _onPad, _gaps, _first, AfterMark) = (0, 0, 0, null, false);
}

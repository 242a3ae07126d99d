namespace CaliperStation.Bench;

/// <summary>Who typed an entry.</summary>
internal enum TypedBy
{
    /// <summary>A person.</summary>
    Person,

    /// <summary>A device: all of it came faster than anybody types.</summary>
    Device,

    /// <summary>A device ended it, but not all of it came from the device.</summary>
    Both,
}

/// <summary>Tells keys that a caliper types from keys that a person types, by their pace.</summary>
/// <remarks>
/// Scanner-type devices send a key each 7 to 20 ms (bitsnpixels.dev/blog/scanner-or-person-part-1.html; 20 ms cured lost keys in
/// github.com/adafruit/Adafruit_CircuitPython_HID/issues/114); a fast typist needs 80 ms and more (from memory).
/// </remarks>
internal sealed class KeyBurst(TimeProvider time)
{
    /// <summary>Keys closer than this are a device's.</summary>
    public static readonly TimeSpan Pace = TimeSpan.FromMilliseconds(25);

    /// <summary>Fewer characters are no value: <c>0.00</c>.</summary>
    public const int Least = 4;

    private int _count;
    private long _last;

    /// <summary>Characters were typed into the entry.</summary>
    public void Typed(int characters)
    {
        long now = time.GetTimestamp();
        _count = _count > 0 && time.GetElapsedTime(_last, now) < Pace ? _count + characters : characters;
        _last = now;
    }

    /// <summary>The entry was ended by Enter or Tab; forgets what was typed.</summary>
    /// <param name="length">How many characters are in it.</param>
    public TypedBy End(int length)
    {
        bool fast = _count >= Least && time.GetElapsedTime(_last) < Pace;
        TypedBy by = !fast ? TypedBy.Person : _count == length ? TypedBy.Device : TypedBy.Both;
        _count = 0;
        return by;
    }
}

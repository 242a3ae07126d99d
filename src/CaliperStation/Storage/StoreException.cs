using CaliperStation.Files;

namespace CaliperStation.Storage;

/// <summary>What is wrong with a store, or with its use.</summary>
internal enum StoreFault
{
    /// <summary>A file of it cannot be read or written.</summary>
    Disk,

    /// <summary>Another bench is writing it.</summary>
    InUse,

    /// <summary>Nothing says where it is.</summary>
    NoFolder,

    /// <summary>Its folder cannot be made.</summary>
    NotMade,

    /// <summary>It cannot be locked for writing.</summary>
    NotLocked,

    /// <summary>There is something where nothing may be.</summary>
    NotEmpty,

    /// <summary>Something else lies where a file belongs.</summary>
    NoPlainFile,

    /// <summary>Others may reach the station's key.</summary>
    OthersMayReach,

    /// <summary>The station's key is locked and no passphrase was given.</summary>
    PassphraseWanted,

    /// <summary>The station's key cannot be used.</summary>
    NoKey,

    /// <summary>The station's key is gone, and there are records signed with it.</summary>
    KeyGone,

    /// <summary>The station's key is not the one that its records were signed with.</summary>
    OtherKey,

    /// <summary>A file of the folder of keys holds no public key.</summary>
    NoPublicKey,

    /// <summary>The list of keys is gone.</summary>
    NoKeyList,

    /// <summary>The list of keys is not as it was signed.</summary>
    KeyListChanged,

    /// <summary>The journal is damaged.</summary>
    Damaged,

    /// <summary>An event could not be put on the disk; it does not count.</summary>
    NotAppended,

    /// <summary>Another program wrote, cut or replaced a file of the journal; the event does not count.</summary>
    WrittenByAnother,

    /// <summary>Events at the journal's end are missing.</summary>
    EndMissing,

    /// <summary>The store holds less or other than it once had.</summary>
    LessThanBefore,

    /// <summary>The head that is kept elsewhere cannot be read.</summary>
    NoHead,

    /// <summary>A backup is not whole.</summary>
    NoBackup,

    /// <summary>A restore was interrupted.</summary>
    HalfRestored,

    /// <summary>What is left of an import was changed.</summary>
    ImportChanged,

    /// <summary>A record is not what was filed, or not where it should be.</summary>
    RecordChanged,

    /// <summary>An event is none that this program knows, or is not where it should be.</summary>
    UnknownEvent,
}

/// <summary>The store cannot be read or written; the message says which file, what is wrong and what to do.</summary>
internal sealed class StoreException : Exception
{
    public StoreException(StoreFault fault, string message, Exception? inner = null) : base(message, inner) => Fault = fault;

    /// <summary>What is wrong.</summary>
    public StoreFault Fault { get; }

    /// <summary>Where the journal is damaged; empty when it is something else.</summary>
    public IReadOnlyList<JournalDamage> Damage { get; init; } = [];

    /// <summary>True when another bench is writing the store.</summary>
    public bool IsInUse => Fault == StoreFault.InUse;

    /// <summary>True when nothing is wrong with the store: the place that was named is not there, or this account may not use it.</summary>
    public bool IsWrongUsage => InnerException is UnauthorizedAccessException
        || Fault is StoreFault.NoFolder or StoreFault.NotMade or StoreFault.NotLocked or StoreFault.NotEmpty or StoreFault.OthersMayReach or StoreFault.PassphraseWanted;

    /// <summary>Does something with a file of the store; a fault of the disk or of the account's rights becomes one of these.</summary>
    /// <param name="work">What is done.</param>
    /// <param name="message">The sentences for the user.</param>
    /// <exception cref="StoreException">It failed.</exception>
    internal static T Wrap<T>(Func<T> work, Func<Exception, string> message)
    {
        try
        {
            return work();
        }
        catch (Exception e) when (FileFault.Is(e))
        {
            throw new StoreException(StoreFault.Disk, message(e), e);
        }
    }

    /// <inheritdoc cref="Wrap{T}"/>
    internal static void Wrap(Action work, Func<Exception, string> message) => Wrap<object?>(() => { work(); return null; }, message);
}
